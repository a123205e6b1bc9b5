//! A sheet: shapes in millimetres, y downward, in the order in which they are drawn.
//!
//! What a shape means is told by its pen and its hatch, which are legible in black and white:
//! outlines are thick, centre lines thin and dash-dotted, and each plane of a picture of all planes
//! has a dash of its own.

/// A sheet of any size.
#[derive(Debug, Clone)]
pub(super) struct Sheet {
    /// Width and height, in millimetres.
    pub(super) size: [f64; 2],
    /// What it shows, in a line.
    pub(super) title: String,
    /// How thick outlines are: 1 for teeth of module 2.5 and more.
    pub(super) weight: f64,
    /// How far the pages of the sheet overlap, in millimetres; 0 where nothing is to be joined.
    pub(super) overlap: f64,
    /// What is drawn.
    pub(super) shapes: Vec<Shape>,
}

/// Something drawn on a sheet.
#[derive(Debug, Clone)]
pub(super) enum Shape {
    /// Closed lines; one inside another is a hole.
    Area { contours: Vec<Vec<[f64; 2]>>, pen: Pen, hatch: Hatch, part: Option<GearTag> },
    /// A straight line.
    Line { from: [f64; 2], to: [f64; 2], pen: Pen },
    /// A circle.
    Circle { center: [f64; 2], radius: f64, pen: Pen },
    /// A filled spot.
    Spot { center: [f64; 2], radius: f64 },
    /// Words in one line.
    Words { at: [f64; 2], size: f64, anchor: Anchor, weight: Weight, words: String },
}

/// What an area is a part of, for whoever reads a picture back.
#[derive(Debug, Clone)]
pub(super) struct GearTag {
    pub(super) gear: String,
    pub(super) pin: Option<usize>,
    pub(super) view: &'static str,
    pub(super) plane: usize,
}

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pen {
    /// Visible outlines.
    Outline,
    /// Rims, leaders and crosses.
    Thin,
    /// Centre lines and pitch circles.
    Center,
    /// The mark of a planet on its paper disc.
    Mark,
    /// To cut along.
    Cut,
    /// The outlines of one plane among several, counted from 0.
    Plane(usize),
}

impl Pen {
    /// Stroke width and dashes, in millimetres; those of outlines for a sheet of this weight.
    pub(super) fn stroke(self, weight: f64) -> (f64, Vec<f64>) {
        const OF_PLANES: [(f64, &[f64]); 6] = [
            (0.5, &[]),
            (0.4, &[3.0, 1.0]),
            (0.4, &[5.0, 0.8, 0.5, 0.8]),
            (0.5, &[0.5, 0.9]),
            (0.25, &[]),
            (0.25, &[1.2, 1.2]),
        ];
        let dashed =
            |width: f64, dashes: &[f64], scale: f64| (width * scale, dashes.iter().map(|dash| dash * scale).collect());
        match self {
            Self::Outline => dashed(0.45, &[], weight),
            Self::Thin => dashed(0.15, &[], 1.0),
            Self::Center => dashed(0.15, &[6.0, 1.0, 0.8, 1.0], 1.0),
            Self::Mark => dashed(0.7, &[], weight.max(0.7)),
            Self::Cut => dashed(0.3, &[2.0, 2.0], 1.0),
            Self::Plane(plane) => match OF_PLANES.get(plane) {
                Some((width, dashes)) => dashed(*width, dashes, weight),
                // Every further plane has one dot more between its dashes, beginning with two.
                None => {
                    dashed(0.4, &[&[5.0, 0.8][..], &[0.5, 0.8].repeat(plane - OF_PLANES.len() + 2)].concat(), weight)
                }
            },
        }
    }
}

/// How an area is filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Hatch {
    /// Not at all.
    None,
    /// Thin lines rising to the right: gears on the main axis.
    Rising,
    /// Thin lines falling to the right: rings.
    Falling,
}

/// Where words stand against their place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// How heavy words are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Weight {
    Plain,
    Bold,
}

/// How far neighbouring pages overlap, in millimetres.
const OVERLAP: f64 = 8.0;

/// How wide a letter is taken to be, of its size.
const LETTER: f64 = 0.56;

/// How wide words are taken to be, in millimetres.
pub(super) fn width_of(words: &str, size: f64) -> f64 {
    let letters = u32::try_from(words.chars().count()).unwrap_or(u32::MAX);
    f64::from(letters) * size * LETTER
}

/// Words in lines that are not wider than so many millimetres.
pub(super) fn wrapped(words: &str, size: f64, width: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split(' ') {
        match lines.last_mut() {
            Some(line) if width_of(line, size) + width_of(word, size) + size <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// Words without their middle, where they are wider than so many millimetres.
pub(super) fn shortened(words: &str, size: f64, width: f64) -> String {
    let letters: Vec<char> = words.chars().collect();
    let most = (1..letters.len())
        .take_while(|&count| f64::from(u32::try_from(count).unwrap_or(u32::MAX)) * size * LETTER < width)
        .count();
    if letters.len() <= most + 1 || most < 8 {
        return words.to_owned();
    }
    let half = most / 2 - 2;
    let part = |letters: &[char]| letters.iter().collect::<String>();
    format!("{} ... {}", part(&letters[..half]), part(&letters[letters.len() - half..]))
}

impl Sheet {
    /// An empty sheet of pages to be joined, for teeth of so many millimetres of module.
    pub(super) fn new(title: String, module: f64) -> Self {
        Self { size: [0.0; 2], title, weight: (module / 2.5).clamp(0.45, 1.0), overlap: OVERLAP, shapes: Vec::new() }
    }

    pub(super) fn words(&mut self, at: [f64; 2], size: f64, anchor: Anchor, words: impl Into<String>) {
        self.shapes.push(Shape::Words { at, size, anchor, weight: Weight::Plain, words: words.into() });
    }

    pub(super) fn bold(&mut self, at: [f64; 2], size: f64, anchor: Anchor, words: impl Into<String>) {
        self.shapes.push(Shape::Words { at, size, anchor, weight: Weight::Bold, words: words.into() });
    }

    pub(super) fn line(&mut self, from: [f64; 2], to: [f64; 2], pen: Pen) {
        self.shapes.push(Shape::Line { from, to, pen });
    }

    pub(super) fn circle(&mut self, center: [f64; 2], radius: f64, pen: Pen) {
        self.shapes.push(Shape::Circle { center, radius, pen });
    }

    /// An upright cross with arms of so many millimetres.
    pub(super) fn cross(&mut self, [x, y]: [f64; 2], arm: f64) {
        self.line([x - arm, y], [x + arm, y], Pen::Thin);
        self.line([x, y - arm], [x, y + arm], Pen::Thin);
    }
}

impl Shape {
    /// The box that holds the shape: least and greatest x and y.
    pub(super) fn bounds(&self) -> [[f64; 2]; 2] {
        match self {
            Self::Area { contours, .. } => contours.iter().flatten().fold(
                [[f64::INFINITY; 2], [f64::NEG_INFINITY; 2]],
                |[least, greatest], [x, y]| {
                    [[least[0].min(*x), least[1].min(*y)], [greatest[0].max(*x), greatest[1].max(*y)]]
                },
            ),
            Self::Line { from, to, .. } => {
                [[from[0].min(to[0]), from[1].min(to[1])], [from[0].max(to[0]), from[1].max(to[1])]]
            }
            Self::Circle { center: [x, y], radius, .. } | Self::Spot { center: [x, y], radius } => {
                [[x - radius, y - radius], [x + radius, y + radius]]
            }
            Self::Words { at: [x, y], size, anchor, words, .. } => {
                let width = width_of(words, *size) * 1.15;
                let left = match anchor {
                    Anchor::Start => *x,
                    Anchor::Middle => x - width / 2.0,
                    Anchor::End => x - width,
                };
                [[left, y - size], [left + width, y + size * 0.3]]
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Pen;

    /// Once the seventh plane was drawn like the first.
    #[test]
    fn no_two_planes_are_drawn_alike() {
        let strokes: Vec<_> = (0..20).map(|plane| Pen::Plane(plane).stroke(1.0)).collect();
        for (at, stroke) in strokes.iter().enumerate() {
            assert!(!strokes[..at].contains(stroke), "plane {at} is drawn as one before it: {stroke:?}");
        }
    }
}
