//! From which side is a picture seen?

/// A side from which a picture is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// The input side, from which places and turns are counter-clockwise.
    Input,
    /// The output side: the mirror image.
    Output,
}
