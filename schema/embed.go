package schema

import _ "embed" // the generated description travels with the server that serves it

// OpenAPI is the generated OpenAPI document of the HTTP interface, as JSON.
//
//go:embed openapi.json
var OpenAPI []byte
