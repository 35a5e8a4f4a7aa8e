package query

import "encoding/json"

// encode writes a map as JSON text; an empty one is {}.
func encode[K comparable, V any](m map[K]V) (string, error) {
	if len(m) == 0 {
		return "{}", nil
	}
	data, err := json.Marshal(m)
	return string(data), err
}

// decode reads what encode wrote; {} is a nil map.
func decode[V any](text string) (map[string]V, error) {
	if text == "{}" {
		return nil, nil
	}
	var m map[string]V
	err := json.Unmarshal([]byte(text), &m)
	return m, err
}

// tidyNumber makes minus zero zero: an engine may store it as the whole number 0.
func tidyNumber(x float64) float64 { return x + 0 }
