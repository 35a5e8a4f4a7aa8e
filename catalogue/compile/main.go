// Command compile checks the catalogue's YAML and writes it as the JSON that the program embeds.
package main

import (
	"fmt"
	"os"

	"witnessmark/catalogue"
)

func main() {
	text, err := catalogue.Compile()
	if err == nil {
		err = os.WriteFile("base.json", text, 0o644)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
