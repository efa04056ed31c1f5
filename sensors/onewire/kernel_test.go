package onewire_test

import (
	"fmt"
	"io/fs"
	"path"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"duskloop/sensors/devicemodel"
	"duskloop/sensors/onewire"
)

// kernel imitates the w1_therm driver's timing and states, for use inside a
// synctest bubble. The rules are those of drivers/w1/slaves/w1_therm.c: the
// trigger sleeps for the conversion, a read during it is empty, a read after it
// gives what was measured at the trigger, any other read converts by itself
// while the bus is free for others.
type kernel struct {
	masters map[string]*line

	mu    sync.Mutex
	reads []string // w1_slave files read, in order
}

// line is one master.
type line struct {
	bulk bool
	// wait is the kernel's conv_time of every probe; takes is how long the chips
	// really measure; reading is a scratchpad on the wire.
	wait, takes, reading time.Duration

	bus    chan struct{} // holds one token: the bus mutex
	probes map[string]*probe
	// refuse is what a trigger answers; cut ends its sleep early, as a signal
	// does; wedged makes it never return.
	refuse error
	cut    time.Duration
	wedged chan struct{}
	tries  atomic.Int32 // triggers written
}

// probe is one device with the driver's flag: -1 converting, 1 measured and
// not read, 0 neither.
type probe struct {
	chip *devicemodel.DS18B20
	done time.Time // when the conversion in the chip is over

	mu   sync.Mutex
	flag int
	dead bool
}

const (
	// converts is the longest measurement at 12 bit (DS18B20 datasheet).
	converts = 750 * time.Millisecond
	// The kernel's own bits and reset on a line it drives itself: w1_write_bit,
	// w1_read_bit and w1_reset_bus of drivers/w1/w1_io.c. The reset ends in
	// msleep(1), which lasts 1 ms at least and, as msleep rounds up and adds a tick,
	// up to 8 ms where the clock ticks 250 times a second.
	bit   = 70 * time.Microsecond
	reset = 570*time.Microsecond + time.Millisecond
	lazy  = 570*time.Microsecond + 8*time.Millisecond
	// slot reads a scratchpad: command and address, command, nine bytes. begin
	// tells all probes to measure: two commands.
	slot  = reset + (9+1+9)*8*bit
	begin = reset + 2*8*bit
)

// The kernel's stand-in is a tree.
var _ onewire.Tree = (*kernel)(nil)

// newKernel has one master with n probes at 20, 21, ... degrees.
func newKernel(n int) *kernel {
	k := &kernel{masters: make(map[string]*line)}
	k.add("w1_bus_master1", n)
	return k
}

func (k *kernel) add(master string, n int) *line {
	l := &line{bulk: true, wait: converts, takes: converts, reading: slot, bus: make(chan struct{}, 1), probes: make(map[string]*probe)}
	l.bus <- struct{}{}
	for i := range n {
		chip := devicemodel.NewDS18B20()
		l.probes[serialOf(len(k.masters), i)] = &probe{chip: chip}
	}
	k.masters[master] = l
	return l
}

// serialOf is the serial of probe i on a master.
func serialOf(master, i int) string { return fmt.Sprintf("28-00000d%02x%04x", master, i) }

// List implements onewire.Tree.
func (k *kernel) List(dir string) ([]string, error) {
	var names []string
	for name, l := range k.masters {
		names = append(names, name)
		if path.Base(dir) != name {
			continue
		}
		names = names[:0]
		if l.bulk {
			names = append(names, "therm_bulk_read")
		}
		for serial := range l.probes {
			names = append(names, serial)
		}
		return names, nil
	}
	return names, nil
}

// Read implements onewire.Tree.
func (k *kernel) Read(file string) ([]byte, error) {
	folder := path.Base(path.Dir(file))
	for _, l := range k.masters {
		p, ok := l.probes[folder]
		if !ok {
			continue
		}
		if path.Base(file) == "conv_time" {
			return fmt.Appendln(nil, l.wait.Milliseconds()), nil
		}
		k.mu.Lock()
		k.reads = append(k.reads, file)
		k.mu.Unlock()
		return []byte(l.slave(p)), nil
	}
	if l, ok := k.masters[folder]; ok {
		return []byte(l.state()), nil
	}
	return nil, fs.ErrNotExist
}

// Write implements onewire.Tree.
func (k *kernel) Write(file string, text []byte) error {
	l, ok := k.masters[path.Base(path.Dir(file))]
	if !ok || string(text) != "trigger\n" {
		return fs.ErrInvalid
	}
	l.tries.Add(1)
	if l.refuse != nil {
		return l.refuse
	}
	if l.wedged != nil {
		<-l.wedged
	}
	return l.trigger()
}

// trigger converts everything on the line.
func (l *line) trigger() error {
	<-l.bus
	time.Sleep(begin) // synctest clock: no real wait
	over := time.Now().Add(l.takes)
	for _, p := range l.probes {
		p.convert(over, -1)
	}
	l.bus <- struct{}{}
	time.Sleep(l.wait - l.cut) // synctest clock: no real wait
	for _, p := range l.probes {
		p.set(1)
	}
	return nil
}

// slave is the text of w1_slave.
func (l *line) slave(p *probe) string {
	switch p.take() {
	case -1:
		return ""
	case 0:
		<-l.bus
		time.Sleep(slot - 9*8*bit) // as a scratchpad, without its bytes; synctest clock, no real wait
		p.convert(time.Now().Add(l.takes), 0)
		l.bus <- struct{}{}
		time.Sleep(l.wait) // synctest clock: no real wait
	}
	<-l.bus
	defer func() { l.bus <- struct{}{} }()
	if p.dead {
		time.Sleep(3 * time.Second) // three tries against silence; synctest clock, no real wait
		return ""
	}
	time.Sleep(l.reading) // synctest clock: no real wait
	pad := p.scratchpad()
	return devicemodel.SlaveText(pad, [9]byte{})
}

// state is the text of therm_bulk_read.
func (l *line) state() string {
	flags := 0
	for _, p := range l.probes {
		p.mu.Lock()
		if p.flag != 0 && flags != -1 {
			flags = p.flag
		}
		p.mu.Unlock()
	}
	return fmt.Sprintln(flags)
}

// convert starts a measurement that is over at the given time.
func (p *probe) convert(over time.Time, flag int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.done, p.flag = over, flag
}

func (p *probe) set(flag int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.flag = flag
}

// take is the flag, and clears it when it says measured.
func (p *probe) take() int {
	p.mu.Lock()
	defer p.mu.Unlock()
	flag := p.flag
	if flag == 1 {
		p.flag = 0
	}
	return flag
}

// scratchpad is the chip's memory: new only if its conversion is over.
func (p *probe) scratchpad() [9]byte {
	p.mu.Lock()
	defer p.mu.Unlock()
	if !p.done.IsZero() && !time.Now().Before(p.done) {
		p.chip.Convert()
	}
	return p.chip.Scratchpad()
}

// readOf counts the reads of one probe's w1_slave.
func (k *kernel) readOf(serial string) int {
	k.mu.Lock()
	defer k.mu.Unlock()
	count := 0
	for _, file := range k.reads {
		if strings.Contains(file, serial) {
			count++
		}
	}
	return count
}
