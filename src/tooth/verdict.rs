//! Is there enough room, when floats cannot say exactly?

/// What a signed room says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum RoomVerdict {
    /// More than the tolerance.
    Enough,
    /// Within the tolerance of none.
    Just,
    /// Negative by more than the tolerance, or not a number.
    Lacking,
}

impl RoomVerdict {
    /// The smallest tolerance that rounding allows, in millimetres.
    pub const ROUNDING: f64 = 1e-9;

    /// Decides a signed room, as the formulas of interference and undercut give it.
    ///
    /// # Examples
    /// ```
    /// use toothmark::tooth::RoomVerdict;
    /// assert_eq!(RoomVerdict::of(0.02, RoomVerdict::ROUNDING), RoomVerdict::Enough);
    /// assert_eq!(RoomVerdict::of(-1e-12, RoomVerdict::ROUNDING), RoomVerdict::Just);
    /// assert_eq!(RoomVerdict::of(-0.02, RoomVerdict::ROUNDING), RoomVerdict::Lacking);
    /// ```
    pub fn of(room: f64, tolerance: f64) -> Self {
        if room > tolerance {
            Self::Enough
        } else if room >= -tolerance {
            Self::Just
        } else {
            Self::Lacking
        }
    }
}
