// Package picture draws SVG: one stretch of time (Sheet) with temperatures, the
// battery, what ran and why, and the nights; one night lived in several ways (Beside);
// curves over a plain number (Curves); and numbers as bars (Bars). It is handed plain
// data and writes text, as a file or for a page of HTML (InPage); it knows no record, no
// clock and no file.
//
// A picture is 390 units wide, so that on a telephone a unit is about a CSS
// pixel, and as tall as it needs to be. Nothing in it is told by colour alone:
// lines have their own dashes and names, and every reason has a lane of its own
// with its words above it, so that ribbon and legend are one.
//
// Up to ten days readings are lines; beyond that each place has a strip of
// its own with the coldest and warmest of every day, and the nights stand in a
// field of noon-to-noon columns, because hundreds of stripes would only be grey.
//
// Written over encoding/xml and not with a chart library: go-analyze/charts
// v0.6.4, tried for this, puts points on whole pixels and evenly spaced labels
// where we need times, has no dash of its own for each line, no title and
// description for those who cannot see, and names a font that may not be there;
// it would add 2.8 MB.
package picture
