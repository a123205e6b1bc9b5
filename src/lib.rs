//! Exact ratios and exact timing of planetary gearsets whose planets are clusters.
pub mod description;
pub mod exact;
pub mod gearset;
pub mod kinematics;
#[cfg(feature = "cli")]
pub mod report;
pub mod timing;
