package onewire

import (
	"cmp"
	"context"
	"fmt"
	"path"
	"slices"
)

// Masters lists every 1-Wire line with the probes on it, by name. It asks the
// kernel's folders, not the probes.
func (b *Bus) Masters() ([]Master, error) {
	names, err := b.tree.List(devices)
	if err != nil {
		return nil, fmt.Errorf("listing 1-Wire masters: %w", err)
	}
	var found []Master
	for _, name := range names {
		if !isMaster(name) {
			continue
		}
		entries, err := b.tree.List(path.Join(devices, name))
		if err != nil {
			return nil, fmt.Errorf("listing probes of %s: %w", name, err)
		}
		found = append(found, b.withOutcome(newMaster(name, entries).Master))
	}
	slices.SortFunc(found, func(a, z Master) int { return cmp.Compare(a.Name, z.Name) })
	return found, nil
}

// Find is the names of all probes on all lines. It asks the kernel's folders, not the probes.
func (b *Bus) Find(context.Context) ([]string, error) {
	masters, err := b.Masters()
	var all []string
	for _, m := range masters {
		all = append(all, m.Probes...)
	}
	return all, err
}

// withOutcome adds how the last conversion of the master went, if it is over.
func (b *Bus) withOutcome(m Master) Master {
	b.mu.Lock()
	defer b.mu.Unlock()
	if last, ok := b.masters[m.Name]; ok && !last.converting() {
		m.Err, m.Took = last.Err, last.Took
	}
	return m
}
