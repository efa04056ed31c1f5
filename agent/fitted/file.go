package fitted

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"time"

	"github.com/pelletier/go-toml/v2"

	"duskloop/sim/fit"
	"duskloop/sim/plant"
)

// Greenhouse is what a fit found, and how far it can be trusted.
type Greenhouse struct {
	Loop string    `toml:"loop" json:"loop"`
	Made time.Time `toml:"made" json:"made"`
	From time.Time `toml:"from" json:"from"`
	To   time.Time `toml:"to" json:"to"`
	// Nights were foretold by a fit of the others; Left were not believed.
	Nights int `toml:"nights" json:"nights"`
	Left   int `toml:"nights_left_out" json:"nights_left_out"`
	// TankHeat is what the tank's litres hold, J/K, on which every figure rests.
	TankHeat float64 `toml:"tank_j_per_k,omitempty" json:"tank_j_per_k,omitempty"`
	// At are the duties at which the file stated draws and coil.
	At Duties `toml:"stated_at" json:"stated_at"`
	// TunnelOff and TankOff are how far, K, root mean square.
	TunnelOff float64  `toml:"tunnel_off_k" json:"tunnel_off_k"`
	TankOff   float64  `toml:"tank_off_k" json:"tank_off_k"`
	Trust     string   `toml:"trust" json:"trust"` // what it can be trusted for
	Figures   []Figure `toml:"figure" json:"figures"`
}

// Figure is one of the greenhouse's. One that the record did not tell has the Value that goes
// best with the others, a guess and no more, and Why says what was missing.
type Figure struct {
	Name  string  `toml:"name" json:"name"`
	Unit  string  `toml:"unit" json:"unit"`
	File  float64 `toml:"file" json:"file"`
	Value float64 `toml:"value" json:"value"`
	Low   float64 `toml:"low" json:"low"`
	High  float64 `toml:"high" json:"high"`
	Told  bool    `toml:"told" json:"told"`
	Why   string  `toml:"why,omitempty" json:"why,omitempty"`
	// Try is the experiment that would tell it.
	Try string `toml:"try,omitempty" json:"try,omitempty"`
}

// Duties are those of pump and fans, as shares.
type Duties struct {
	Pump float64 `toml:"pump" json:"pump"`
	Fans float64 `toml:"fans" json:"fans"`
}

// Of a fit's result of a plant by its file; the times are of the record that was used.
func Of(r *fit.Result, p plant.Params, at Duties, loop string, from, to, made time.Time) *Greenhouse {
	g := &Greenhouse{
		Loop: loop, Made: made.UTC().Truncate(time.Second), From: from.UTC(), To: to.UTC(), Nights: len(r.Nights), Left: len(r.Left),
		TankHeat: round(figuresOf(p)[tankHeat]), At: at, TunnelOff: round(r.Air), TankOff: round(r.Tank), Trust: trust(r),
	}
	for _, f := range r.Figures {
		g.Figures = append(g.Figures, Figure{
			Name: f.Name, Unit: f.Unit, File: round(f.File), Value: round(f.Value), Low: round(f.Low), High: round(f.High),
			Told: f.Told, Why: f.Why, Try: f.Experiment,
		})
	}
	return g
}

// round to four digits: no record tells more.
func round(x float64) float64 {
	if x == 0 || math.IsNaN(x) || math.IsInf(x, 0) {
		return 0
	}
	p := math.Pow10(3 - int(math.Floor(math.Log10(math.Abs(x)))))
	return math.Round(x*p) / p
}

// Encode writes the file's text.
func (g *Greenhouse) Encode() ([]byte, error) {
	var b bytes.Buffer
	fmt.Fprintf(&b, "# A greenhouse fitted to its own record by duskloop fit. The greenhouse file names this\n# file in model.fitted. Fit again rather than change it by hand.\n")
	e := toml.NewEncoder(&b)
	if err := e.Encode(g); err != nil {
		return nil, fmt.Errorf("writing a fitted greenhouse: %w", err)
	}
	return b.Bytes(), nil
}

// ErrFile is a file that is no fitted greenhouse.
var ErrFile = errors.New("no fitted greenhouse")

// Load reads a file.
func Load(path string) (*Greenhouse, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("reading a fitted greenhouse: %w", err)
	}
	return Decode(data)
}

// Decode reads a file's text and checks it.
func Decode(data []byte) (*Greenhouse, error) {
	g := new(Greenhouse)
	d := toml.NewDecoder(bytes.NewReader(data)).DisallowUnknownFields()
	if err := d.Decode(g); err != nil {
		return nil, fmt.Errorf("%w: %w", ErrFile, err)
	}
	if g.Made.IsZero() || len(g.Figures) == 0 {
		return nil, fmt.Errorf("%w: it has no date or no figures", ErrFile)
	}
	seen := make(map[string]bool)
	for _, f := range g.Figures {
		if !f.sane() || seen[f.Name] {
			return nil, fmt.Errorf("%w: %s of %g %s cannot be", ErrFile, f.Name, f.Value, f.Unit)
		}
		seen[f.Name] = true
	}
	return g, nil
}

// reach is how far a fit may go from the file, either way: no figure beyond twice that is
// one of a fit's.
const reach = 8

func (f *Figure) sane() bool {
	if unit, known := fit.Units()[f.Name]; !known || unit != f.Unit {
		return false
	}
	if f.Told && !(f.Low <= f.Value && f.Value <= f.High) {
		return false
	}
	if !f.Told && f.Value == f.File {
		return true // nobody goes by it
	}
	if f.Unit == "" { // an exponent
		return f.Value >= 0 && f.Value <= 1
	}
	return f.Value > 0 && f.File > 0 && f.Value < reach*f.File && f.Value > f.File/reach
}
