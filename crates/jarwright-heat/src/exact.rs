//! Exact series for plain shapes: the yardstick of the solver.
