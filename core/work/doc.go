// Package work turns jobs into doings at places of one car, and doings into what a visit needs: a sheet in which every shared
// preparation stands once, its minutes, the parts to pick, the figures to look up, the looks to come back for and the readings that begin
// with the work. It knows no prices and no dates.
package work
