package main

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"duskloop/agent/sizing"
)

// sheetWide is how wide the worksheet's paragraphs are.
const sheetWide = 88

// printSheet prints sections as text.
func printSheet(w io.Writer, sections []sizing.Section) {
	for i, s := range sections {
		if i > 0 {
			fmt.Fprintln(w)
		}
		fmt.Fprintf(w, "%s\n%s\n", s.Title, strings.Repeat("-", utf8.RuneCountInString(s.Title)))
		printParagraphs(w, s.Says)
		printRows(w, s.Head, s.Rows)
		printParagraphs(w, s.After)
	}
}

func printParagraphs(w io.Writer, all []string) {
	for _, p := range all {
		for _, line := range wrapped(p, sheetWide) {
			fmt.Fprintln(w, line)
		}
	}
}

// wrapped is a text in lines of so many letters at most.
func wrapped(text string, wide int) (lines []string) {
	line := ""
	for _, word := range strings.Fields(text) {
		if line != "" && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > wide {
			lines, line = append(lines, line), ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(lines, line)
}

// widestName is how wide the first column may be before its names are broken.
const widestName = 44

// printRows prints a table: names at the left, broken where they are long, figures at the right.
func printRows(w io.Writer, head []string, rows [][]string) {
	if len(rows) == 0 {
		return
	}
	all := append([][]string{head}, rows...)
	wide := make([]int, len(head))
	for _, row := range all {
		for i, cell := range row {
			n := utf8.RuneCountInString(cell)
			if i == 0 {
				n = min(n, widestName)
			}
			wide[i] = max(wide[i], n)
		}
	}
	for _, row := range all {
		names := wrapped(row[0], widestName)
		for _, name := range names[:len(names)-1] {
			fmt.Fprintf(w, "  %s\n", name)
		}
		fmt.Fprintf(w, "  %s", padded(names[len(names)-1], wide[0]))
		for i, cell := range row[1:] {
			fmt.Fprintf(w, "  %*s", wide[i+1], cell)
		}
		fmt.Fprintln(w)
	}
}

func padded(s string, wide int) string {
	return s + strings.Repeat(" ", max(0, wide-utf8.RuneCountInString(s)))
}
