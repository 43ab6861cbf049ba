package schema

import _ "embed" // the generated schemas travel with the server that serves them

// Definitions are the JSON Schemas of every type that travels, by name, as one JSON object. They refer to each other
// as "#/$defs/NAME".
//
//go:embed definitions.json
var Definitions []byte
