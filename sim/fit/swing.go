package fit

// swings are for how many minutes what a figure shows by was there.
type swings struct {
	running  int // pump and fans beside a tank well over the air
	slowly   int // the same at less than full speed
	standing int // a warm tank in the dark, pump at rest
	heating  int // sun on the element
	apart    int // tunnel well over the greenhouse, in the dark
	night    int // dark
}

// What counts, and how much of it there must be. Differences below 5 K show too little
// beside probes that stand apart. All are choices of ours.
const (
	enoughApart  = 5.0 // K
	enoughSun    = 0.15
	leastRunning = 45      // minutes
	leastRest    = 6 * 60  // minutes
	leastSun     = 3 * 60  // minutes
	leastApart   = 2 * 60  // minutes
	leastNight   = 36 * 60 // minutes
)

func (l *laid) swings() (s swings) {
	for k := range l.cells {
		if !l.driven[k] || l.night[k] < 0 || !known(l.tank[k]) {
			continue
		}
		c := &l.cells[k]
		warm := l.tank[k]-l.air[k] >= 2*enoughApart
		if c.on > 0.5 && warm && c.speed > 0.8 {
			s.running++
		}
		if c.on > 0.5 && warm && c.speed <= 0.8 {
			s.slowly++
		}
		if c.sun >= enoughSun {
			s.heating++
		}
		if !l.dark[k] {
			continue
		}
		s.night++
		if c.on == 0 && l.tank[k]-c.house >= enoughApart {
			s.standing++
		}
		if l.air[k]-c.house >= enoughApart {
			s.apart++
		}
	}
	return s
}

// missing says what a record lacks to tell a figure, and what would give it.
func (s *swings) missing(f int) (why, experiment string) {
	switch {
	case f == ofCoil && s.running+s.slowly < leastRunning:
		why = "pump and fans hardly ran beside a tank 10 K over the tunnel"
	case f == ofExponent && min(s.running, s.slowly) < leastRunning:
		why = "pump and fans ran at one speed"
	case f == ofTankLoss && s.standing < leastRest:
		why = "the tank hardly stood warm in the dark with the pump at rest"
	case f == ofElement && s.heating < leastSun:
		why = "the sun hardly shone on the panel"
	case (f == ofCover || f == ofAir) && s.apart < leastApart && s.heating < leastSun:
		why = "the tunnel was hardly warmer than the greenhouse"
	case (f == ofBed || f == ofBedToAir || f == ofBedToSoil) && s.night < leastNight:
		why = "the nights are too few"
	case (f == ofAirSun || f == ofBedSun) && s.heating < leastSun:
		why = "the sun hardly shone"
	default:
		return "", ""
	}
	return why, experiments[f]
}

// forced is the test that tells most in one night.
const forced = "run the loop 30 min on, 60 min off for a night after a clear day: duskloop fit --experiment asks the daemon for it"

// experiments say what would tell a figure.
var experiments = [figures]string{
	ofTankLoss:  "leave the pump at rest for a night beside a warm tank: hold off by hand after a clear day",
	ofCoil:      forced,
	ofExponent:  "let the loop run slower for some nights (carry.speed = \"varied\"), then fit again",
	ofElement:   "wait for two clear days with the element connected",
	ofAir:       forced,
	ofCover:     forced,
	ofBed:       "record another week: the bed shows only over days",
	ofBedToAir:  forced,
	ofBedToSoil: "record another week with warm and cold nights, or put a probe into the bed",
	ofAirSun:    "wait for two clear days with the vents shut",
	ofBedSun:    "wait for two clear days with the vents shut",
}
