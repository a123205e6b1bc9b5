//! Questions of what is measured, fitted and balanced on the bench.

mod balance;
mod bands;
mod bushes;
mod clutch;
mod float;
mod neutral;
mod weighed;

pub use balance::BalanceOptions;
pub use bands::BandsOptions;
pub use bushes::BushesOptions;
pub use clutch::ClutchOptions;
pub use float::FloatOptions;
pub use neutral::NeutralOptions;
