package match

import "duskloop/sensors/quantity"

// Frosty is the warmest that a winter's coldest morning is taken to be: a record of one
// mild winter does not hold the coldest to come. Our choice.
const Frosty quantity.Celsius = -10

// Continuous is what a fuse and a cable of panels must carry over the label's
// short-circuit current: 1.25 for light above 1000 W/m² and again 1.25 since it lasts
// for hours (National Electrical Code, article 690.8; from memory, unverified).
const Continuous = 1.25 * 1.25

// Deadly is the direct voltage above which a touch can kill, V: the usual limit of what
// may be touched (60 V of IEC 61140; from memory, unverified).
const Deadly = 60

// StringFuses is said of many strings (common practice, as article 690.9 of the same
// code; from memory, unverified).
const StringFuses = "With three or more strings side by side each string needs a fuse of its own."
