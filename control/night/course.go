package night

import "time"

// Expected is the greenhouse at the end of a step ahead, by the plan.
type Expected struct {
	At        time.Time
	Tank, Air float64 // °C
	House     float64 // °C, of the greenhouse
	Low, High float64 // °C: the air where the greenhouse is colder or warmer by its 80 % band
	Charge    float64 // share of the battery
	Duty      float64 // of the step, a share of full conductance
	Unheated  Bare
}

// Bare is the greenhouse at the end of a step ahead if the plan gave no heat since it began,
// an hour or so ago at most.
type Bare struct {
	Tank, Air float64 // °C
	Low, High float64 // °C, as of Expected
	Charge    float64 // share of the battery
}

// courseSteps is how far ahead a course is told: a day and a half.
const courseSteps = slotsADay * 3 / 2

// expect rolls the best plan over the outlook's course, and over one as cold and one as
// warm as its band; and no heat over the same three. at is the time at which the plan begins; the steps before from are
// left out.
func (p *Plan) expect(at time.Time, from int) []Expected {
	n := min(p.steps, from+courseSteps)
	all := make([]Expected, 0, max(n-from, 0))
	likely, cold, warm := p.start, p.start, p.start
	bare, bareCold, bareWarm := p.start, p.start, p.start
	var l link
	roll := func(to *Now, k int, warmer, flow, power float64) {
		p.twin.after(to, p.course.House[k]+warmer, p.course.Sun[k], p.course.level(k), flow, power, &l)
		*to = l.end()
	}
	for k := range n {
		duty := p.Duty(k)
		flow, power, _ := p.drive.shares(duty)
		roll(&likely, k, 0, flow, power)
		roll(&cold, k, p.colder, flow, power)
		roll(&warm, k, p.warmer, flow, power)
		roll(&bare, k, 0, 0, 0)
		roll(&bareCold, k, p.colder, 0, 0)
		roll(&bareWarm, k, p.warmer, 0, 0)
		if k < from {
			continue
		}
		all = append(all, Expected{
			At: at.Add(time.Duration(k+1) * Step * time.Second), Tank: likely.Tank, Air: likely.Air, House: p.course.House[k],
			Low: min(likely.Air, cold.Air), High: max(likely.Air, warm.Air), Charge: likely.Charge / p.twin.Capacity, Duty: duty,
			Unheated: Bare{
				Tank: bare.Tank, Air: bare.Air, Low: min(bare.Air, bareCold.Air), High: max(bare.Air, bareWarm.Air), Charge: bare.Charge / p.twin.Capacity,
			},
		})
	}
	return all
}
