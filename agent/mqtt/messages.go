package mqtt

import _ "embed"

//go:embed messages.json
var document string

// Document is the AsyncAPI 3.0.0 description of every topic and payload, as
// JSON.
func Document() string { return document }
