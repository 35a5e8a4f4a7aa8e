package web

// roundRoutes lists the pages of the walk round the car.
func (s *server) roundRoutes() []route { return nil }
