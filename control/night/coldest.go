package night

// Coldest is the lowest air that a twin comes to from a start without pump and fans, and
// how many steps ahead. It allocates nothing.
func (t *Twin) Coldest(from Now, a Ahead) (air float64, steps int) {
	var l link
	air = from.Air
	for k, house := range a.House {
		t.after(&from, house, a.Sun[k], a.level(k), 0, 0, &l)
		if from = l.end(); from.Air < air {
			air, steps = from.Air, k+1
		}
	}
	return air, steps
}
