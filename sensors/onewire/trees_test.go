package onewire_test

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/devicemodel"
	"duskloop/sensors/quantity"
)

// update rewrites testdata/w1 from the cases below.
var update = flag.Bool("update", false, "rewrite the sysfs trees in testdata/w1")

// trees is where the sysfs trees lie that every test of the project may use.
const trees = "../../testdata/w1"

// faulty and sound are the two probes of every tree; their serials are made up.
const (
	faulty = "28-00000d05c001"
	sound  = "28-00000d05c002"
)

// treeCase is one sysfs tree.
type treeCase struct {
	// modern: a kernel since 5.8, with a file for each property. Older ones
	// have only w1_slave, and show a bad checksum instead of an empty text.
	modern bool
	bulk   bool
	// text is the faulty probe's w1_slave; absent takes the probe away.
	text   string
	absent bool
}

// treeCases are the trees by folder name; testdata/w1/README.md describes them.
func treeCases() map[string]treeCase {
	return map[string]treeCase{
		"good":         {modern: true, text: measured(51.6875)},
		"bulk":         {modern: true, bulk: true, text: measured(51.6875)},
		"real-85":      {modern: true, text: measured(85)},
		"power-on-85":  {modern: true, text: memory("50 05 4b 46 7f ff 0c 10")},
		"low-power":    {modern: true, text: memory("ff 07 4b 46 7f ff 0c 10")},
		"stuck-low":    {modern: true, text: memory("00 00 00 00 00 00 00 00")},
		"real-0":       {modern: true, text: measured(0)},
		"minus-127":    {modern: true, text: memory("10 f8 4b 46 7f ff 10 10")},
		"empty":        {modern: true},
		"missing":      {modern: true, absent: true},
		"crc-fail":     {text: flipped(51.6875)},
		"all-ones":     {text: devicemodel.SlaveText([9]byte([]byte(strings.Repeat("\xff", 9))), [9]byte{})},
		"real-below-0": {modern: true, text: measured(-0.0625)},
	}
}

// measured is the text of a genuine probe at the given temperature.
func measured(value quantity.Celsius) string {
	probe := devicemodel.NewDS18B20()
	probe.Set(value)
	probe.Convert()
	return devicemodel.SlaveText(probe.Scratchpad(), [9]byte{})
}

// memory is the text for eight bytes with their right checksum.
func memory(bytes string) string {
	var pad [9]byte
	for i, field := range strings.Fields(bytes) {
		fmt.Sscanf(field, "%02x", &pad[i])
	}
	pad[8] = devicemodel.CRC(pad[:8])
	return devicemodel.SlaveText(pad, [9]byte{})
}

// flipped is a reading with one bit wrong; the kernel keeps the last sound
// bytes on its second line.
func flipped(value quantity.Celsius) string {
	good := bytesOf(measured(value))
	pad := good
	pad[1] ^= 0x04
	return devicemodel.SlaveText(pad, good)
}

// bytesOf is the scratchpad on the first line of a text.
func bytesOf(text string) (pad [9]byte) {
	for i, field := range strings.Fields(text)[:9] {
		fmt.Sscanf(field, "%02x", &pad[i])
	}
	return pad
}

// files lists a case's files with their contents, and its links.
func (c treeCase) files() (files, links map[string]string) {
	const master = "devices/w1_bus_master1/"
	files, links = map[string]string{}, map[string]string{}
	slaves := ""
	add := func(serial, text string) {
		folder := master + serial + "/"
		files[folder+"name"] = serial + "\n"
		files[folder+"w1_slave"] = text
		if c.modern {
			files[folder+"resolution"] = "12\n"
			files[folder+"conv_time"] = "750\n"
			files[folder+"ext_power"] = "1\n"
			files[folder+"features"] = "0\n"
			files[folder+"temperature"] = figure(text)
		}
		links["bus/w1/devices/"+serial] = "../../../devices/w1_bus_master1/" + serial
		slaves += serial + "\n"
	}
	if !c.absent {
		add(faulty, c.text)
	}
	add(sound, measured(18.25))
	files[master+"w1_master_name"] = "w1_bus_master1\n"
	files[master+"w1_master_slaves"] = slaves
	files[master+"w1_master_slave_count"] = fmt.Sprintln(strings.Count(slaves, "\n"))
	if c.bulk {
		files[master+"therm_bulk_read"] = "0\n"
	}
	links["bus/w1/devices/w1_bus_master1"] = "../../../devices/w1_bus_master1"
	return files, links
}

// figure is the temperature file that goes with a w1_slave text.
func figure(text string) string {
	_, milli, ok := strings.Cut(text, "t=")
	if !ok {
		return ""
	}
	return milli
}

// TestTreesAreWhatTheKernelWrites keeps testdata/w1 and the device model
// together: the trees are made from the model, byte for byte.
func TestTreesAreWhatTheKernelWrites(t *testing.T) {
	for name, c := range treeCases() {
		t.Run(name, func(t *testing.T) {
			dir := filepath.Join(trees, name)
			files, links := c.files()
			if *update {
				lay(t, dir, files, links)
			}
			found := 0
			require.NoError(t, filepath.WalkDir(dir, func(_ string, d os.DirEntry, err error) error {
				if err == nil && !d.IsDir() {
					found++
				}
				return err
			}))
			assert.Equal(t, len(files)+len(links), found, "files in %s", dir)
			for file, want := range files {
				got, err := os.ReadFile(filepath.Join(dir, file))
				require.NoError(t, err)
				assert.Equal(t, want, string(got), file)
			}
			for link, want := range links {
				got, err := os.Readlink(filepath.Join(dir, link))
				require.NoError(t, err)
				assert.Equal(t, want, got, link)
			}
		})
	}
}

// lay writes a tree anew.
func lay(t *testing.T, dir string, files, links map[string]string) {
	t.Helper()
	require.NoError(t, os.RemoveAll(dir))
	for file, text := range files {
		path := filepath.Join(dir, file)
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	}
	for link, target := range links {
		path := filepath.Join(dir, link)
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.Symlink(target, path))
	}
}

// copied is a tree that a test may write to.
func copied(t *testing.T, name string) string {
	t.Helper()
	c, ok := treeCases()[name]
	require.True(t, ok, "no tree %s", name)
	dir := t.TempDir()
	files, links := c.files()
	lay(t, filepath.Join(dir, name), files, links)
	return filepath.Join(dir, name)
}
