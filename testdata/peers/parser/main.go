// Parser starts, reads a file and parses its YAML, and does nothing else: the least
// that any program for build files needs.
package main

import (
	"fmt"
	"os"

	"gopkg.in/yaml.v3"
)

func main() {
	text, err := os.ReadFile(os.Args[1])
	var node yaml.Node
	if err == nil {
		err = yaml.Unmarshal(text, &node)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
