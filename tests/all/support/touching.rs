//! How far does a drawn gear turn until it touches another?
//!
//! Exact for polygons: a corner of the one meets a chord of the other, on the circle about the axis of the gear that
//! turns. Nothing here knows of teeth.

use std::f64::consts::TAU;

/// From a point to a point.
pub(crate) type Chord = [[f64; 2]; 2];

/// Chords in the order of the radii about the origin at which they begin.
struct ByRadius {
    chords: Vec<(f64, Chord)>,
    /// No chord reaches farther out from its beginning.
    longest: f64,
}

impl ByRadius {
    fn of(chords: &[Chord]) -> Self {
        let radius = |[x, y]: [f64; 2]| x.hypot(y);
        let mut chords: Vec<(f64, Chord)> =
            chords.iter().map(|&chord| (radius(chord[0]).min(radius(chord[1])), chord)).collect();
        chords.sort_by(|a, b| a.0.total_cmp(&b.0));
        let length = |[from, to]: Chord| (to[0] - from[0]).hypot(to[1] - from[1]);
        let longest = chords.iter().map(|&(_, chord)| length(chord)).fold(0.0, f64::max);
        Self { chords, longest }
    }

    /// Those that may reach a radius. An arc's chord reaches a little farther in than its ends.
    fn at(&self, radius: f64) -> impl Iterator<Item = &Chord> {
        let first = self.chords.partition_point(|&(begins, _)| begins < radius - self.longest);
        let few = self.chords[first..].iter().take_while(move |(begins, _)| *begins < radius + 1e-2);
        few.map(|(_, chord)| chord)
    }
}

/// The chords of a closed line of which an end is near.
pub(crate) fn chords(contour: &[[f64; 2]], is_near: impl Fn([f64; 2]) -> bool) -> Vec<Chord> {
    let next = contour.iter().copied().cycle().skip(1);
    let chords = contour.iter().copied().zip(next);
    chords.filter(|(from, to)| is_near(*from) || is_near(*to)).map(|(from, to)| [from, to]).collect()
}

/// How far the second chords turn about the origin until they touch the first, counter-clockwise and clockwise, in
/// radians.
pub(crate) fn turns(a: &[Chord], b: &[Chord]) -> [f64; 2] {
    let mut found = [f64::INFINITY; 2];
    // Corners of the first gear meet chords of the second, turned to them; and the other way round.
    for (corners, chords, sense) in [(a, b, 1.0), (b, a, -1.0)] {
        let chords = ByRadius::of(chords);
        for [[x, y], _] in corners {
            let (radius, angle) = (x.hypot(*y), y.atan2(*x));
            for there in chords.at(radius).flat_map(|chord| crossings(chord, radius)) {
                let turn = sense * (angle - there);
                let turn = turn - TAU * (turn / TAU).round();
                let at = usize::from(turn < 0.0);
                found[at] = found[at].min(turn.abs());
            }
        }
    }
    found
}

/// The angles at which a chord crosses the circle of a radius about the origin.
fn crossings(chord: &Chord, radius: f64) -> impl Iterator<Item = f64> {
    let [[x, y], [to_x, to_y]] = *chord;
    let (along, across) = (to_x - x, to_y - y);
    // |p + t d|^2 = r^2.
    let (square, half) = (along * along + across * across, x * along + y * across);
    let root = (half * half - square * (x * x + y * y - radius * radius)).sqrt();
    [(-half - root) / square, (-half + root) / square]
        .into_iter()
        .filter(|t| (0.0..=1.0).contains(t))
        .map(move |t| (y + t * across).atan2(x + t * along))
}
