//! What are the teeth of a gearset, do they close on its pins, and what does whoever cuts or sets them need to know?
//!
//! The formulas of `tooth` asked of gears, meshes and pins. Fit alone: nothing here proves a tooth strong enough.
