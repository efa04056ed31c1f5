package foresight

// edit gives up to two stretches of minutes another duty.
type edit struct{ one, two stretch }

// stretch is the minutes from one to before another, with their duty.
type stretch struct {
	from, to int
	duty     float64
}

// apply changes a schedule, as far as it reaches.
func (e edit) apply(schedule []float64) {
	for _, s := range [2]stretch{e.one, e.two} {
		for k := s.from; k < min(s.to, len(schedule)); k++ {
			schedule[k] = s.duty
		}
	}
}

// shifted is the edit for a schedule that begins at minute i.
func (e edit) shifted(i int) edit {
	e.one.from, e.one.to = e.one.from-i, e.one.to-i
	if e.two.to > 0 {
		e.two.from, e.two.to = e.two.from-i, e.two.to-i
	} else {
		e.two = stretch{}
	}
	if e.one.to <= 0 {
		e.one = stretch{}
	}
	return e
}

// edits are the moves whose first minute is i, as far as the slopes promise something.
// None leaves a run shorter than the minimum.
func (p *polisher) edits(i int, list []edit) []edit {
	if i == 0 || i+2*minRun >= len(p.schedule) {
		return list
	}
	switch before := p.schedule[i-1] > 0; {
	case p.schedule[i] == 0:
		return p.begun(i, before, list)
	case before:
		return p.ended(i, list)
	default:
		return p.delayed(i, list)
	}
}

// begun are moves that run in a minute at rest: a run that ends later, starts earlier,
// shifts to earlier, or is new.
func (p *polisher) begun(i int, before bool, list []edit) []edit {
	g, on := p.grad, p.level[i]
	next := p.schedule[i+1] > 0
	if (before || next) && g[i] < 0 {
		list = append(list, edit{one: stretch{i, i + 1, on}})
	}
	if before {
		return list
	}
	if next {
		if e := p.end(i + 1); e < i+ahead && g[i] < g[e-1] {
			list = append(list, edit{stretch{i, i + 1, on}, stretch{e - 1, e, 0}})
		}
	}
	if g[i]+g[i+1]+g[i+2] < 0 {
		list = append(list, edit{one: stretch{i, i + minRun, on}})
	}
	return list
}

// delayed are moves for a run that starts at i: to start later, to shift to later, or
// not to be.
func (p *polisher) delayed(i int, list []edit) []edit {
	g, e := p.grad, p.end(i)
	if e-i > minRun && g[i] > 0 {
		list = append(list, edit{one: stretch{i, i + 1, 0}})
	}
	if e >= i+ahead || e >= len(p.schedule) {
		return list
	}
	if g[e] < g[i] {
		list = append(list, edit{stretch{i, i + 1, 0}, stretch{e, e + 1, p.level[i]}})
	}
	sum := 0.0
	for k := i; k < e; k++ {
		sum += g[k]
	}
	if sum > 0 {
		list = append(list, edit{one: stretch{i, e, 0}})
	}
	return list
}

// ended are moves within a run: to pause for a minute, or to end.
func (p *polisher) ended(i int, list []edit) []edit {
	if p.grad[i] <= 0 || i-p.begin(i) < minRun {
		return list
	}
	e := p.end(i)
	if rest := e - i - 1; rest == 0 || rest >= minRun {
		list = append(list, edit{one: stretch{i, i + 1, 0}})
	}
	if e-i >= 2 && e < i+ahead {
		list = append(list, edit{one: stretch{i, e, 0}})
	}
	return list
}

// end is the minute after the run that minute i is in.
func (p *polisher) end(i int) int {
	for i < len(p.schedule) && p.schedule[i] > 0 {
		i++
	}
	return i
}

// begin is the first minute of the run, or one that is early enough to tell that the
// run is not short.
func (p *polisher) begin(i int) int {
	for k := 0; k < minRun && i > 0 && p.schedule[i-1] > 0; k++ {
		i--
	}
	return i
}
