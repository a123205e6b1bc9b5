//! How far does a drawn gear turn, or slide, until it touches another?
//!
//! Exact for polygons: a corner of the one meets a chord of the other, on the circle about the axis of the gear that
//! turns, or on the line along which it slides. Nothing here knows of teeth.

use std::f64::consts::TAU;

/// From a point to a point.
pub(crate) type Chord = [[f64; 2]; 2];

/// A chord with the least and the greatest place that it reaches: as a radius about the origin, or as a height.
struct Reaching {
    from: f64,
    to: f64,
    chord: Chord,
}

/// Chords in the order in which they begin.
struct InOrder {
    chords: Vec<Reaching>,
    /// No chord reaches farther from its beginning.
    longest: f64,
    /// Nor any farther than this.
    farthest: f64,
}

fn radius([x, y]: [f64; 2]) -> f64 {
    x.hypot(y)
}

/// From the point of the chord that is nearest to the origin to that which is farthest.
fn radii(chord: Chord) -> Reaching {
    let [[x, y], [to_x, to_y]] = chord;
    let (along, across) = (to_x - x, to_y - y);
    let nearest = -(x * along + y * across) / (along * along + across * across);
    let [first, last] = chord.map(radius);
    // Of a chord without length no part is nearer.
    let inner = if nearest > 0.0 && nearest < 1.0 {
        radius([x + nearest * along, y + nearest * across])
    } else {
        first.min(last)
    };
    Reaching { from: inner, to: first.max(last), chord }
}

fn heights(chord: Chord) -> Reaching {
    let [[_, y], [_, to_y]] = chord;
    Reaching { from: y.min(to_y), to: y.max(to_y), chord }
}

impl InOrder {
    fn of(chords: &[Chord], reaching: fn(Chord) -> Reaching) -> Self {
        let mut chords: Vec<Reaching> = chords.iter().map(|&chord| reaching(chord)).collect();
        // A flank is in order already, which this sort notices.
        chords.sort_by(|a, b| a.from.total_cmp(&b.from));
        let longest = chords.iter().map(|it| it.to - it.from).fold(0.0, f64::max);
        let farthest = chords.iter().map(|it| it.to).fold(f64::NEG_INFINITY, f64::max);
        Self { chords, longest, farthest }
    }

    /// Says each chord that reaches a place.
    fn at(&self, place: f64, mut say: impl FnMut(&Chord)) {
        // What is rounded off the place of one and the same corner is no gap.
        const ROUNDED: f64 = 1e-9;
        let (first, last) = (place - self.longest - ROUNDED, place + ROUNDED);
        if place > self.farthest + ROUNDED || self.chords.first().is_none_or(|it| it.from > last) {
            return;
        }
        let mut at = self.chords.partition_point(|it| it.from < first);
        while at < self.chords.len() && self.chords[at].from <= last {
            if self.chords[at].to >= place - ROUNDED {
                say(&self.chords[at].chord);
            }
            at += 1;
        }
    }
}

/// The chords of a closed line of which an end is near.
pub(crate) fn chords(contour: &[[f64; 2]], is_near: impl Fn([f64; 2]) -> bool) -> Vec<Chord> {
    let next = contour.iter().copied().cycle().skip(1);
    let chords = contour.iter().copied().zip(next);
    chords.filter(|(from, to)| is_near(*from) || is_near(*to)).map(|(from, to)| [from, to]).collect()
}

/// Chords that may be turned about the origin.
pub(crate) struct TurnableLine {
    /// The radius of each corner and its angle.
    corners: Vec<[f64; 2]>,
    chords: InOrder,
}

impl TurnableLine {
    pub(crate) fn of(chords: &[Chord]) -> Self {
        let corners = chords.iter().map(|&[corner, _]| [radius(corner), corner[1].atan2(corner[0])]);
        Self { corners: corners.collect(), chords: InOrder::of(chords, radii) }
    }
}

/// How far the second chords turn about the origin until they touch the first, counter-clockwise and clockwise, in
/// radians.
pub(crate) fn turns(a: &[Chord], b: &[Chord]) -> [f64; 2] {
    let mut found = [f64::INFINITY; 2];
    each_turn(&TurnableLine::of(a), &TurnableLine::of(b), 0.0, |turn| {
        let at = usize::from(turn < 0.0);
        found[at] = found[at].min(turn.abs());
    });
    found
}

/// How far a line that is turned already turns on counter-clockwise about the origin until it touches one that is ahead of
/// it, in radians; negative by how much they overlap, infinite where they pass one another.
pub(crate) fn gap_to(ahead: &[Chord], line: &TurnableLine, turned: f64) -> f64 {
    let mut least = f64::INFINITY;
    each_turn(&TurnableLine::of(ahead), line, turned, |turn| least = least.min(turn));
    least
}

/// The further turns of the second line about the origin, counter-clockwise, at which a corner meets a chord.
fn each_turn(a: &TurnableLine, b: &TurnableLine, turned: f64, mut found: impl FnMut(f64)) {
    let mut nearest = |turn: f64| found(turn - TAU * (turn / TAU).round());
    // Corners of the first gear meet chords of the second, turned to them; and the other way round.
    for &[radius, angle] in &a.corners {
        b.chords.at(radius, |chord| crossings(chord, radius, |there| nearest(angle - there - turned)));
    }
    for &[radius, angle] in &b.corners {
        a.chords.at(radius, |chord| crossings(chord, radius, |there| nearest(there - angle - turned)));
    }
}

/// How far the first chords slide along +x until they touch the second.
pub(crate) fn slide(a: &[Chord], b: &[Chord]) -> f64 {
    let mut least = f64::INFINITY;
    for (corners, chords, sense) in [(a, b, 1.0), (b, a, -1.0)] {
        let chords = InOrder::of(chords, heights);
        for [[x, y], _] in corners {
            chords.at(*y, |[from, to]| {
                let part = (y - from[1]) / (to[1] - from[1]);
                let along = sense * (from[0] + (to[0] - from[0]) * part - x);
                if (0.0..=1.0).contains(&part) && along >= 0.0 && along < least {
                    least = along;
                }
            });
        }
    }
    least
}

/// Says the angles at which a chord crosses the circle of a radius about the origin.
fn crossings(chord: &Chord, radius: f64, mut say: impl FnMut(f64)) {
    let [[x, y], [to_x, to_y]] = *chord;
    let (along, across) = (to_x - x, to_y - y);
    // |p + t d|^2 = r^2.
    let (square, half) = (along * along + across * across, x * along + y * across);
    let root = (half * half - square * (x * x + y * y - radius * radius)).sqrt();
    for t in [(-half - root) / square, (-half + root) / square] {
        if (0.0..=1.0).contains(&t) {
            say((y + t * across).atan2(x + t * along));
        }
    }
}
