// Package proto holds the contract: the .proto files, and what is generated of them for programs that speak HTTP.
package proto

import _ "embed"

// OpenAPI describes the calls that have a path, as OpenAPI 3 in YAML.
//
//go:embed openapi.yaml
var OpenAPI []byte
