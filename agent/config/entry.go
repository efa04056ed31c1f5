package config

import (
	"fmt"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// An entry is one key with its value as the file has it.
type entry struct {
	path   []string
	text   string // without quotes
	quoted bool
	line   int
	odd    string // why the value is of no use here, if it is
}

func (e entry) key() string { return strings.Join(e.path, ".") }

// shown is the value as it stands in the file.
func (e entry) shown() string {
	if e.quoted {
		return fmt.Sprintf("%q", e.text)
	}
	return e.text
}

// scan reads TOML into entries. The syntax tree is used rather than decoding
// into structs, because it gives the line of every key, and lets duplicate keys
// and every other fault be reported together.
func scan(data []byte) ([]entry, Faults) {
	var (
		s scanner
		p unstable.Parser
	)
	p.Reset(data)
	s.parser = &p
	for p.NextExpression() {
		s.expression(p.Expression())
	}
	if err := p.Error(); err != nil {
		s.faults = append(s.faults, syntax(data, err))
	}
	return s.entries, s.faults
}

type scanner struct {
	parser  *unstable.Parser
	table   []string
	tables  map[string]int
	entries []entry
	faults  Faults
}

func (s *scanner) expression(n *unstable.Node) {
	switch n.Kind {
	case unstable.Table:
		s.open(n)
	case unstable.ArrayTable:
		s.open(n)
		s.faults = append(s.faults, Fault{Line: s.line(n.Child()), Key: strings.Join(s.table, "."),
			Problem: "written as a list of tables", Allowed: "single brackets"})
	case unstable.KeyValue:
		path := append(append([]string(nil), s.table...), keys(n.Key())...)
		s.value(path, n.Value(), s.line(firstKey(n)))
	}
}

// open starts a table and notes one that is opened twice.
func (s *scanner) open(n *unstable.Node) {
	s.table = keys(n.Key())
	name, line := strings.Join(s.table, "."), s.line(firstKey(n))
	if s.tables == nil {
		s.tables = make(map[string]int)
	}
	if first, again := s.tables[name]; again {
		s.faults = append(s.faults, Fault{Line: line, Key: name,
			Problem: fmt.Sprintf("table opened again; first on line %d", first), Allowed: "each table once"})
		return
	}
	s.tables[name] = line
}

// value takes a scalar, or the keys of an inline table.
func (s *scanner) value(path []string, v *unstable.Node, line int) {
	e := entry{path: path, line: line, text: string(v.Data)}
	switch v.Kind {
	case unstable.String:
		e.quoted = true
	case unstable.Integer, unstable.Float, unstable.Bool:
	case unstable.InlineTable:
		for it := v.Children(); it.Next(); {
			kv := it.Node()
			s.value(append(append([]string(nil), path...), keys(kv.Key())...), kv.Value(), line)
		}
		return
	default:
		e.odd = "a value of this kind (" + strings.ToLower(v.Kind.String()) + ") has no place here"
	}
	s.entries = append(s.entries, e)
}

// line is where a node stands, counted from 1.
func (s *scanner) line(n *unstable.Node) int {
	if n == nil {
		return 0
	}
	return s.parser.Shape(n.Raw).Start.Line
}

func firstKey(n *unstable.Node) *unstable.Node {
	it := n.Key()
	if !it.Next() {
		return nil
	}
	return it.Node()
}

func keys(it unstable.Iterator) []string {
	var path []string
	for it.Next() {
		path = append(path, string(it.Node().Data))
	}
	return path
}

// syntax turns the parser's error into a fault with its line.
func syntax(data []byte, err error) Fault {
	words := func(cause string) string {
		return "not TOML, which is lines of name = value below [headings] (" + cause + ")"
	}
	f := Fault{Key: "file", Problem: words(err.Error())}
	if pe, ok := err.(*unstable.ParserError); ok {
		f.Problem = words(pe.Message)
		var p unstable.Parser
		p.Reset(data)
		if r := p.Range(pe.Highlight); len(pe.Highlight) > 0 {
			f.Line = p.Shape(r).Start.Line
		}
	}
	return f
}
