package night

// severity follows how hard the season is: the mean of what a course without heat
// would cost, and of how many of its steps are too cold, over about two weeks.
type severity struct{ cost, cold float64 }

// twoWeeks in slots.
const twoWeeks = 14 * slotsADay

// add takes in a course of so many slots' time.
func (s *severity) add(cost, cold float64, slots int) {
	share := float64(slots) / twoWeeks
	s.cost += share * (cost - s.cost)
	s.cold += share * (cold - s.cold)
}

// price of a step at full power, K². A constant one is right in one climate and poor
// in the next. The figures were found on simulated winters; they have no source.
func (s *severity) price(dear float64) float64 {
	if s.cold <= 0 {
		return least
	}
	return min(max(dear*s.cost/s.cold, least), most)
}

// The price is kept between these, K². They have no source.
const (
	least = 0.02
	most  = 4.0
)
