package query

import (
	"math"
	"reflect"
	"strings"
	"unicode/utf8"

	"witnessmark/shop"
)

// sound refuses what can't be kept and given back unchanged by every engine: a fact without an id, text that is not
// UTF-8 or has a NUL character, and numbers that are none.
func sound(id string, fact any) error {
	if id == "" {
		return shop.Invalid{{Field: "id", Text: "The id is missing."}}
	}
	var bad shop.Invalid
	walk("", reflect.ValueOf(fact), &bad)
	if len(bad) > 0 {
		return bad
	}
	return nil
}

// walk visits every text and number of a fact; name is the field in its JSON form.
func walk(name string, v reflect.Value, bad *shop.Invalid) {
	switch v.Kind() {
	case reflect.String:
		if s := v.String(); !utf8.ValidString(s) || strings.ContainsRune(s, 0) {
			*bad = append(*bad, shop.FieldError{Field: name, Text: "The text has characters that can't be stored."})
		}
	case reflect.Float64:
		if x := v.Float(); math.IsNaN(x) || math.IsInf(x, 0) {
			*bad = append(*bad, shop.FieldError{Field: name, Text: "This is not a number."})
		}
	case reflect.Pointer:
		if !v.IsNil() {
			walk(name, v.Elem(), bad)
		}
	case reflect.Slice:
		if v.Type().Elem().Kind() == reflect.String {
			for i := range v.Len() {
				walk(name, v.Index(i), bad)
			}
		}
	case reflect.Map:
		for it := v.MapRange(); it.Next(); {
			walk(name, it.Key(), bad)
			walk(name, it.Value(), bad)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			tag, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
			walk(tag, v.Field(i), bad)
		}
	}
}
