//! How far does a drawn gear turn, or slide, until it touches another?
//!
//! Exact for polygons: a corner of the one meets a chord of the other, on the circle about the axis of the gear that
//! turns, or on the line along which it slides. Nothing here knows of teeth.

use std::f64::consts::TAU;

/// From a point to a point.
pub(crate) type Chord = [[f64; 2]; 2];

/// Chords in the order in which they begin: of the radii about the origin, or of the heights.
struct InOrder {
    chords: Vec<(f64, Chord)>,
    /// No chord reaches farther from its beginning.
    longest: f64,
}

fn radius([x, y]: [f64; 2]) -> f64 {
    x.hypot(y)
}

fn height([_, y]: [f64; 2]) -> f64 {
    y
}

impl InOrder {
    fn of(chords: &[Chord], place: fn([f64; 2]) -> f64) -> Self {
        let mut chords: Vec<(f64, Chord)> =
            chords.iter().map(|&chord| (place(chord[0]).min(place(chord[1])), chord)).collect();
        chords.sort_by(|a, b| a.0.total_cmp(&b.0));
        let length = |[from, to]: Chord| (to[0] - from[0]).hypot(to[1] - from[1]);
        let longest = chords.iter().map(|&(_, chord)| length(chord)).fold(0.0, f64::max);
        Self { chords, longest }
    }

    /// Those that may reach a place. An arc's chord reaches a little farther in than its ends.
    fn at(&self, place: f64) -> impl Iterator<Item = &Chord> {
        let first = self.chords.partition_point(|&(begins, _)| begins < place - self.longest);
        let few = self.chords[first..].iter().take_while(move |(begins, _)| *begins < place + 1e-2);
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
    each_turn(a, b, |turn| {
        let at = usize::from(turn < 0.0);
        found[at] = found[at].min(turn.abs());
    });
    found
}

/// How far a line turns counter-clockwise about the origin until it touches one that is ahead of it, in radians; negative by
/// how much they overlap, infinite where they pass one another.
pub(crate) fn gap_to(ahead: &[Chord], line: &[Chord]) -> f64 {
    let mut least = f64::INFINITY;
    each_turn(ahead, line, |turn| least = least.min(turn));
    least
}

/// The turns of the second chords about the origin, counter-clockwise, at which a corner meets a chord.
fn each_turn(a: &[Chord], b: &[Chord], mut found: impl FnMut(f64)) {
    // Corners of the first gear meet chords of the second, turned to them; and the other way round.
    for (corners, chords, sense) in [(a, b, 1.0), (b, a, -1.0)] {
        let chords = InOrder::of(chords, radius);
        for [corner, _] in corners {
            let (radius, angle) = (radius(*corner), corner[1].atan2(corner[0]));
            for there in chords.at(radius).flat_map(|chord| crossings(chord, radius)) {
                let turn = sense * (angle - there);
                found(turn - TAU * (turn / TAU).round());
            }
        }
    }
}

/// How far the first chords slide along +x until they touch the second.
pub(crate) fn slide(a: &[Chord], b: &[Chord]) -> f64 {
    let mut least = f64::INFINITY;
    for (corners, chords, sense) in [(a, b, 1.0), (b, a, -1.0)] {
        let chords = InOrder::of(chords, height);
        for [[x, y], _] in corners {
            for [from, to] in chords.at(*y) {
                let part = (y - from[1]) / (to[1] - from[1]);
                let along = sense * (from[0] + (to[0] - from[0]) * part - x);
                if (0.0..=1.0).contains(&part) && along >= 0.0 {
                    least = least.min(along);
                }
            }
        }
    }
    least
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
