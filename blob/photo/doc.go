// Package photo takes an uploaded photo in: it is recognised by its content, checked against limits before anything
// large is done with it, turned the way it was held, made smaller and encoded anew. What comes out is a plain JPEG
// without any of the metadata that came in, such as the place where it was taken.
//
// Colours are taken as sRGB: an embedded colour profile is dropped with the rest, so a photo made in a wider colour
// space comes out a little duller than it was.
package photo
