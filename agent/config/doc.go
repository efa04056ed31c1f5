// Package config reads the greenhouse file: TOML in which every quantity
// carries its unit, in the grower's own. Read returns either a complete, checked
// File or all faults at once, each with its line, key, value and what is
// allowed.
//
// One table of fields (fields.go and its neighbours) drives everything: what
// the file may say, its defaults and ranges, the commented example, and which
// settings may be changed while the daemon runs. A change by message or command
// line goes through the same parsing, ranges and relations as the file.
//
// Every place, output and topic belongs to a named loop. The format allows
// several; one is built now, and a second is refused by name.
//
// Reading has no side effects: no hardware is opened and nothing is written.
package config
