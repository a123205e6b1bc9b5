//! The built-in gearsets: every file of `gearsets/`, by the name of its file.
//!
//! Their texts are part of the library, so that they are there without a file. The first
//! is the one that is taken where nothing else is asked for.

/// The example that a command takes when it is given no file.
pub const DEFAULT_EXAMPLE: &str = "inspection-railcar";

/// One built-in gearset.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Example {
    /// Its name, which is that of its file without the ending.
    pub name: &'static str,
    /// The description.
    pub text: &'static str,
}

macro_rules! built_in {
    ($($name:literal),* $(,)?) => {
        &[$(Example { name: $name, text: include_str!(concat!("../../gearsets/", $name, ".ron")) }),*]
    };
}

const EXAMPLES: &[Example] = built_in![
    "inspection-railcar",
    "barn-hoist-three-centre",
    "bevel-differential",
    "bevel-reducer",
    "bus-with-range-box",
    "cannot-be-trio",
    "common-sun-two-set",
    "cross-coupled-two-set",
    "double-stepped-hoist",
    "ferry-capstan",
    "five-speed-hub-two-suns",
    "garden-plough-final-drive",
    "half-works-trio",
    "hand-chain-block",
    "hill-tramway-car",
    "hoop-reducer",
    "lock-keepers-astern-gear",
    "loom-differential",
    "millrace-winch",
    "orchard-truck",
    "ore-skip-reverse",
    "peat-railway-tractor",
    "profile-shift-swap",
    "quarry-wheel-hub",
    "ring-to-ring-differential",
    "ropeway-hub-by-shift",
    "same-box-swap-table",
    "slipway-screw",
    "solar-tracker",
    "spinning-mule-back-off",
    "three-set-six-speed",
    "three-speed-hub",
    "touring-overdrive",
    "tower-clock-jack",
    "town-bus-pre-selector",
    "tractor-under-load-splitter",
    "trap-gear",
    "turntable-drive",
    "two-ring-braid-gear",
    "two-sun-braid-gear",
    "village-bus-automatic",
    "worn-goods-hoist",
];

/// Every built-in gearset, the default first.
///
/// # Examples
/// ```
/// use toothmark::description::{DEFAULT_EXAMPLE, examples};
/// assert_eq!(examples()[0].name, DEFAULT_EXAMPLE);
/// ```
pub fn examples() -> &'static [Example] {
    EXAMPLES
}

/// The description of one built-in gearset.
///
/// # Examples
/// ```
/// use toothmark::description::{DEFAULT_EXAMPLE, example};
/// assert!(example(DEFAULT_EXAMPLE).unwrap().contains("Gearset("));
/// assert_eq!(example("no such example"), None);
/// ```
pub fn example(name: &str) -> Option<&'static str> {
    EXAMPLES.iter().find(|example| example.name == name).map(|example| example.text)
}

/// The name of the built-in gearset that is nearest to a name, if one is near.
///
/// # Examples
/// ```
/// use toothmark::description::nearest_example;
/// assert_eq!(nearest_example("milrace-winch").as_deref(), Some("millrace-winch"));
/// ```
pub fn nearest_example(name: &str) -> Option<String> {
    crate::gearset::nearest_name(EXAMPLES.iter().map(|example| example.name), name)
}
