package foresight

// newton goes one step, backward over the minutes for the way, forward to walk it, and
// returns half the fall that it expected.
func (b *barrier) newton() float64 {
	var p matrix
	var q vector
	fall := 0.0
	for i := len(b.stages) - 1; i >= 0; i-- {
		h, g := b.curve(i)
		for r := range parts {
			g[r] += q[r]
			for c := range parts {
				h[r][c] += p[r][c]
			}
		}
		fall += b.eliminate(i, &h, &g, &p, &q)
	}
	b.walk()
	return fall / 2
}

// curve is the slope and curvature of a minute's damage and walls.
func (b *barrier) curve(i int) (h [each]row, g row) {
	v, all := variables(&b.z[i], b.x[i]), b.walls(&b.stages[i])
	for k := range all {
		inv := 1 / all[k].slack(&v)
		a := &all[k].row
		for r := range each {
			if a[r] == 0 {
				continue
			}
			g[r] += b.mu * a[r] * inv
			for c := range each {
				h[r][c] += b.mu * inv * inv * a[r] * a[c]
			}
		}
	}
	if short := b.w.minimum - b.z[i][inAir]; short > 0 {
		g[inAir] -= 2 * short
		h[inAir][inAir] += 2
	}
	return h, g
}

// joint is the quadratic in a minute's choice and the state before it.
type joint struct {
	zu [2]vector     // curvature of the state with each choice
	uu [2][2]float64 // of the choices
	qu [2]float64    // slope by each choice
}

func (b *barrier) joint(h *[each]row, g *row) (j joint) {
	var hg [2]vector
	for a := range 2 {
		for r := range parts {
			hg[a][r] = h[r][parts+a]
			for c := range parts {
				hg[a][r] += h[r][c] * b.g[a][c]
			}
		}
		j.zu[a] = b.f.transposed(&hg[a])
	}
	for a := range 2 {
		j.qu[a] = g[parts+a]
		for r := range parts {
			j.qu[a] += b.g[a][r] * g[r]
		}
		for c := range 2 {
			j.uu[a][c] = h[parts+a][parts+c]
			for r := range parts {
				j.uu[a][c] += b.g[a][r]*hg[c][r] + h[parts+a][r]*b.g[c][r]
			}
		}
	}
	return j
}

// against is the choice that lowers the quadratic most where it falls with slopes s.
func (j *joint) against(s0, s1 float64) choice {
	u := &j.uu
	det := u[0][0]*u[1][1] - u[0][1]*u[1][0]
	return choice{(u[0][1]*s1 - u[1][1]*s0) / det, (u[1][0]*s0 - u[0][0]*s1) / det}
}

// eliminate puts the best choice of minute i into the quadratic of the state after it,
// which becomes that of the state before, p and q. It returns what the choice gains.
func (b *barrier) eliminate(i int, h *[each]row, g *row, p *matrix, q *vector) float64 {
	j := b.joint(h, g)
	s := j.against(j.qu[0], j.qu[1])
	b.step[i] = s
	b.before(h, g, p, q)
	for r := range parts {
		a := j.against(j.zu[0][r], j.zu[1][r])
		b.gains[0][i][r], b.gains[1][i][r] = a.duty, a.heat
		q[r] += j.zu[0][r]*s.duty + j.zu[1][r]*s.heat
	}
	for r := range parts {
		for c := range parts {
			p[r][c] += j.zu[0][r]*b.gains[0][i][c] + j.zu[1][r]*b.gains[1][i][c]
		}
	}
	return -(j.qu[0]*s.duty + j.qu[1]*s.heat)
}

// before carries curvature and slope of the state over one minute back.
func (b *barrier) before(h *[each]row, g *row, p *matrix, q *vector) {
	var hf matrix
	for r := range parts {
		for c := range parts {
			for k := range parts {
				hf[r][c] += h[r][k] * b.f[k][c]
			}
		}
	}
	for r := range parts {
		q[r] = 0
		for k := range parts {
			q[r] += b.f[k][r] * g[k]
		}
		for c := range parts {
			p[r][c] = 0
			for k := range parts {
				p[r][c] += b.f[k][r] * hf[k][c]
			}
		}
	}
}

func (m *matrix) transposed(v *vector) (out vector) {
	for r := range parts {
		for k := range parts {
			out[r] += m[k][r] * v[k]
		}
	}
	return out
}

// walk takes the longest part of Newton's step, halved again and again, that lowers the
// height.
func (b *barrier) walk() {
	old := b.height(b.x, b.z)
	for share := 1.0; share > 1e-9; share /= 2 {
		b.try(share)
		if b.height(b.tried, b.zTried) < old {
			b.x, b.tried = b.tried, b.x
			b.z, b.zTried = b.zTried, b.z
			return
		}
	}
}

func (b *barrier) try(share float64) {
	x := b.start()
	var off vector // of the state before, from where it was
	for i := range b.stages {
		d, q := share*b.step[i].duty, share*b.step[i].heat
		for r := range parts {
			d += b.gains[0][i][r] * off[r]
			q += b.gains[1][i][r] * off[r]
		}
		b.tried[i] = choice{b.x[i].duty + d, b.x[i].heat + q}
		x = b.w.shut(x, b.tried[i].duty, b.tried[i].heat, &b.stages[i].m)
		b.zTried[i] = x.vector()
		for r := range parts {
			off[r] = b.zTried[i][r] - b.z[i][r]
		}
	}
}
