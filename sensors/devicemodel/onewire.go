package devicemodel

import (
	"sync"
	"time"
)

// The 1-Wire commands that the modelled probes know (DS18B20 datasheet, "ROM
// commands" and "Function commands").
const (
	romSearch, romMatch, romSkip, romRead = 0xF0, 0x55, 0xCC, 0x33
	doConvert, doRead                     = 0x44, 0xBE
)

// OneWire is a 1-Wire line with probes on it, as a bridge drives it: resets,
// bytes and search triplets. Several probes that answer at once pull the line
// together: a zero wins.
type OneWire struct {
	mu sync.Mutex
	// takes is how long a conversion lasts; meanwhile read slots give zeros, as
	// externally powered probes do.
	takes  time.Duration
	slaves []*slave
	held   bool
}

// NewOneWire is an empty line whose probes take so long to convert.
func NewOneWire(takes time.Duration) *OneWire { return &OneWire{takes: takes} }

// slave is one probe and where it stands in the protocol.
type slave struct {
	rom     [8]byte
	part    *DS18B20
	command byte // ROM command being worked on; 0: none
	taken   int  // bits or bytes of it
	spoken  bool // addressed: it takes function commands
	deaf    bool // until the next reset
	doing   byte // function command
	sent    int  // bytes of the answer given
	ready   time.Time
}

// Attach puts a probe with a family and a 48-bit serial number on the line.
func (o *OneWire) Attach(family byte, serial uint64, part *DS18B20) {
	o.mu.Lock()
	defer o.mu.Unlock()
	s := &slave{part: part, rom: [8]byte{family}}
	for i := range 6 {
		s.rom[1+i] = byte(serial >> (8 * i))
	}
	s.rom[7] = CRC(s.rom[:7])
	o.slaves = append(o.slaves, s)
}

// Detach takes the probe with a serial number off the line.
func (o *OneWire) Detach(serial uint64) {
	o.mu.Lock()
	defer o.mu.Unlock()
	kept := o.slaves[:0]
	for _, s := range o.slaves {
		var own uint64
		for i := range 6 {
			own |= uint64(s.rom[1+i]) << (8 * i)
		}
		if own != serial {
			kept = append(kept, s)
		}
	}
	o.slaves = kept
}

// Hold holds the line low, as a short does, or lets it go.
func (o *OneWire) Hold(low bool) {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.held = low
}

// Reset starts a transaction and says whether a probe is present and whether the
// line is shorted.
func (o *OneWire) Reset() (present, short bool) {
	o.mu.Lock()
	defer o.mu.Unlock()
	for _, s := range o.slaves {
		s.finish()
		*s = slave{rom: s.rom, part: s.part, ready: s.ready}
	}
	return len(o.slaves) > 0, o.held
}

// WriteByte sends a byte to all probes.
func (o *OneWire) WriteByte(b byte) error {
	o.mu.Lock()
	defer o.mu.Unlock()
	for _, s := range o.slaves {
		s.take(b, o.takes)
	}
	return nil
}

// ReadByte is what the probes answer together; all ones when nobody does.
func (o *OneWire) ReadByte() (byte, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.held {
		return 0, nil
	}
	all := byte(0xFF)
	for _, s := range o.slaves {
		all &= s.give()
	}
	return all, nil
}

// Triplet is one step of a search: two bits read, one written. direction is the
// branch taken where probes differ.
func (o *OneWire) Triplet(direction bool) (gotZero, gotOne, taken bool) {
	o.mu.Lock()
	defer o.mu.Unlock()
	for _, s := range o.slaves {
		if s.searched() {
			gotOne, gotZero = gotOne || s.bit(), gotZero || !s.bit()
		}
	}
	taken = direction
	if gotZero != gotOne {
		taken = gotOne
	}
	for _, s := range o.slaves {
		if s.searched() {
			s.deaf = s.bit() != taken
			s.taken++
		}
	}
	return gotZero, gotOne, taken
}

// searched says whether the probe still takes part in a search.
func (s *slave) searched() bool { return s.command == romSearch && !s.deaf && s.taken < 64 }

// bit is the next of the address.
func (s *slave) bit() bool { return s.rom[s.taken/8]>>(s.taken%8)&1 == 1 }

// take works on one byte.
func (s *slave) take(b byte, takes time.Duration) {
	switch {
	case s.deaf:
	case s.spoken && s.doing == 0:
		s.doing = b
		if b == doConvert {
			s.ready = time.Now().Add(takes)
		}
	case s.spoken:
		// bytes of a write: alarm and resolution, which the model leaves alone
	case s.command == romMatch:
		if s.rom[s.taken] != b {
			s.deaf = true
			return
		}
		if s.taken++; s.taken == len(s.rom) {
			s.spoken = true
		}
	case s.command == 0:
		s.command, s.spoken = b, b == romSkip
	}
}

// give is the next byte of the answer.
func (s *slave) give() byte {
	s.sent++
	switch {
	case s.deaf:
		return 0xFF
	case s.command == romRead && s.sent <= len(s.rom):
		return s.rom[s.sent-1]
	case !s.spoken:
		return 0xFF
	case s.doing == doConvert && time.Now().Before(s.ready):
		return 0
	case s.doing == doRead:
		s.finish()
		if pad := s.part.Scratchpad(); s.sent <= len(pad) {
			return pad[s.sent-1]
		}
	}
	return 0xFF
}

// finish puts the measured value in place once a conversion is over.
func (s *slave) finish() {
	if !s.ready.IsZero() && !time.Now().Before(s.ready) {
		s.ready = time.Time{}
		s.part.Convert()
	}
}
