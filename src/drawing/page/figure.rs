//! The picture of a group: every gear once as a path about its own centre.
//!
//! The script turns gears by their `transform`, from the member they are solid with, the carrier
//! of their pin, their centre and the direction of a tooth, which stand beside them in
//! millimetres and degrees. The picture is in the layout's own axes, y upward, and is turned over as
//! a whole for either view. Words stay upright: they are placed by the script, round the axis.

use std::f64::consts::PI;

use super::PageGroup;
use super::rims::{Rims, arrow, hue};
use crate::drawing::face::contours;
use crate::drawing::layout::{Layout, PlacedGear, PlacedMark};
use crate::drawing::notes;
use crate::drawing::svg::{Svg, number, path};
use crate::gearset::Gearset;
use crate::tooth::{Teeth, outline};

/// How far a chord may be from its curve, in modules.
const TOLERANCE: f64 = 0.002;
/// The circle on which the numbers of pins stand, in parts of the reach of the gears.
const NUMBERS: f64 = 1.08;
/// The circle of the case, and half the side of the picture, in parts of the outermost rim.
const CASE: f64 = 1.02;
const HALF: f64 = 1.08;

/// A figure in the making.
pub(super) struct Figure<'a> {
    pub(super) set: &'a Gearset,
    pub(super) group: &'a PageGroup,
    pub(super) layout: &'a Layout,
    /// What every id of the figure begins with.
    pub(super) id: String,
}

impl Figure<'_> {
    pub(super) fn draw(&self, svg: &mut Svg) {
        let gears = self.layout.gears.iter().flatten();
        let reach = gears.map(|gear| gear.center[0].hypot(gear.center[1]) + gear.reach()).fold(0.0, f64::max);
        let rims = Rims::new(&self.group.members, reach);
        let case_radius = rims.outer() * CASE;
        open(
            svg,
            self.set,
            self.group,
            &self.id,
            &PictureFrame { half: rims.outer() * HALF, unit: reach / 100.0, shows: GEARS },
        );
        svg.open("defs", &[]);
        self.outlines(svg);
        svg.close("defs");
        svg.open("g", &[("class", "view".into()), ("transform", "scale(1 -1)".into())]);
        case(svg, case_radius);
        rims.turning(svg);
        for (plane, gear) in self.largest_first() {
            self.gear(svg, plane, gear);
        }
        self.arms(svg, reach);
        for (plane, gear) in self.largest_first() {
            self.mark(svg, plane, gear, reach);
        }
        self.pins(svg, reach);
        svg.close("g");
        rims.still(svg, self.set, &self.id);
        self.planet_arrows(svg);
        self.pin_numbers(svg, reach);
        self.gear_names(svg, reach);
        svg.close("svg");
    }

    /// The gears with their planes, the largest first, so that none lies behind another altogether.
    fn largest_first(&self) -> Vec<(usize, &PlacedGear)> {
        let planes = self.layout.gears.iter().enumerate();
        let mut gears: Vec<_> = planes.flat_map(|(plane, gears)| gears.iter().map(move |gear| (plane, gear))).collect();
        gears.sort_by(|(_, a), (_, b)| b.reach().total_cmp(&a.reach()));
        gears
    }

    /// The gears of a plane, each once.
    fn outlines(&self, svg: &mut Svg) {
        for (plane, gears) in self.layout.gears.iter().enumerate() {
            for gear in gears.iter().filter(|gear| gear.pin.is_none_or(|pin| pin == 1)) {
                let points = outline(&gear.form, TOLERANCE * gear.form.module).map(|outline| outline.points);
                let points = points.expect("it was laid out with this form");
                let unturned = PlacedGear { center: [0.0; 2], tooth: 0.0, points, ..gear.clone() };
                let id = self.outline_id(plane, gear);
                svg.empty("path", &[("id", id), ("d", path(&contours(&unturned))), ("fill-rule", "evenodd".into())]);
            }
        }
    }

    fn outline_id(&self, plane: usize, gear: &PlacedGear) -> String {
        format!("{}-{plane}-{}", self.id, gear.gear.index())
    }

    fn gear(&self, svg: &mut Svg, plane: usize, gear: &PlacedGear) {
        let mut attributes = self.stand(plane, gear, "gear");
        attributes.push(("data-gear", self.set.gear(gear.gear).name().to_owned()));
        svg.open("g", &attributes);
        svg.words("title", &[], &notes::gear(self.set, gear.gear));
        svg.empty("use", &[("href", format!("#{}", self.outline_id(plane, gear)))]);
        svg.empty("circle", &[("class", "pitch".into()), ("r", number(gear.form.pitch_radius()))]);
        svg.close("g");
    }

    /// What the script turns a gear by, or what is solid with it.
    fn stand(&self, plane: usize, gear: &PlacedGear, class: &str) -> Vec<(&'static str, String)> {
        let member = self.set.gear(gear.gear).member();
        let [x, y] = gear.center.map(number);
        let tooth = number(gear.tooth.to_degrees());
        let mut attributes = vec![
            ("class", format!("solid {class} dash-{}", plane % 4)),
            ("style", format!("--hue: {}", hue(member))),
            ("transform", format!("translate({x} {y}) rotate({tooth})")),
            ("data-plane", (plane + 1).to_string()),
            ("data-member", member.index().to_string()),
            ("data-x", x),
            ("data-y", y),
            ("data-tooth", tooth),
        ];
        if let (Some(pin), Some(carrier)) = (gear.pin, self.set.carrier_of(member)) {
            attributes.push(("data-pin", pin.to_string()));
            attributes.push(("data-carrier", carrier.index().to_string()));
        }
        attributes
    }

    /// The mark of a gear, in its own axes, the tooth it stands by along x.
    fn mark(&self, svg: &mut Svg, plane: usize, gear: &PlacedGear, reach: f64) {
        svg.open("g", &self.stand(plane, gear, "mark marked"));
        match self.layout.marks.iter().find(|mark| gear.is_of(self.set, mark)) {
            Some(mark) => self.planet_mark(svg, gear, mark),
            None => svg.empty("path", &[("d", wedge(gear, reach))]),
        }
        svg.close("g");
    }

    /// The line from the centre of a planet to its mark, a dot.
    fn planet_mark(&self, svg: &mut Svg, gear: &PlacedGear, mark: &PlacedMark) {
        let radius = self.least_radius(mark);
        let spot = (radius * 0.09).min(gear.form.module);
        let ahead = mark.direction - gear.tooth;
        let [x, y] = [ahead.cos(), ahead.sin()].map(|part| number(part * (radius - spot)));
        svg.empty("line", &[("x2", x.clone()), ("y2", y.clone())]);
        svg.empty("circle", &[("cx", x), ("cy", y), ("r", number(spot))]);
    }

    /// How far every gear of a planet is solid.
    fn least_radius(&self, mark: &PlacedMark) -> f64 {
        let gears = self.layout.gears.iter().flatten().filter(|gear| gear.is_of(self.set, mark));
        gears.map(|gear| gear.form.root_radius().min(gear.form.tip_radius())).fold(f64::INFINITY, f64::min)
    }

    /// The arms of the carrier, from the main axis to its pins.
    fn arms(&self, svg: &mut Svg, reach: f64) {
        svg.open("g", &[&[("class", "arms".to_owned())], &self.on_carrier()[..]].concat());
        for mark in &self.layout.marks {
            let [x, y] = mark.center.map(number);
            svg.empty("line", &[("x2", x), ("y2", y), ("stroke-width", number(reach * 0.02))]);
        }
        svg.close("g");
    }

    /// The pins of the carrier, before the gears; the first is filled, and is the mark of the carrier.
    fn pins(&self, svg: &mut Svg, reach: f64) {
        svg.open("g", &[&[("class", "solid pins marked".to_owned())], &self.on_carrier()[..]].concat());
        for mark in &self.layout.marks {
            let radius = (self.least_radius(mark) * 0.2).min(reach * 0.035);
            let class = if mark.pin == 1 { "pin first" } else { "pin" };
            let [x, y, r] = [mark.center[0], mark.center[1], radius].map(number);
            svg.empty("circle", &[("class", class.into()), ("cx", x), ("cy", y), ("r", r)]);
        }
        svg.close("g");
    }

    /// What turns as the carrier does, about the main axis.
    fn on_carrier(&self) -> Vec<(&'static str, String)> {
        let carrier = self.group.timed.carrier;
        vec![
            ("data-member", carrier.index().to_string()),
            ("style", format!("--hue: {}", hue(carrier))),
            ("data-x", "0".into()),
            ("data-y", "0".into()),
            ("data-tooth", "0".into()),
        ]
    }

    /// Which way every planet turns, upright on its pin.
    fn planet_arrows(&self, svg: &mut Svg) {
        let carrier = self.group.timed.carrier.index().to_string();
        for mark in &self.layout.marks {
            let radius = 0.55 * self.least_radius(mark);
            svg.open("g", &place("upright", mark.center, Some(&carrier)));
            svg.open("g", &[("class", "arrow".into()), ("data-member", mark.planet.index().to_string())]);
            arrow(svg, radius, 0.9, radius * 0.16);
            svg.close("g");
            svg.close("g");
        }
    }

    /// The numbers of the pins, outside of the gears, turning with the carrier.
    fn pin_numbers(&self, svg: &mut Svg, reach: f64) {
        let size = number(reach * 0.08);
        let carrier = self.group.timed.carrier.index().to_string();
        let first = self.layout.marks.first().map(|mark| mark.planet);
        for mark in self.layout.marks.iter().filter(|mark| Some(mark.planet) == first) {
            let outward = mark.to_axis + PI;
            let at = [outward.cos(), outward.sin()].map(|part| part * reach * NUMBERS);
            let attributes = upright("number", at, &size, Some(&carrier));
            svg.words("text", &attributes, &mark.pin.to_string());
        }
    }

    /// The names of the gears of each plane, which are shown with that plane alone.
    fn gear_names(&self, svg: &mut Svg, reach: f64) {
        let carrier = self.group.timed.carrier.index().to_string();
        for (plane, gears) in self.layout.gears.iter().enumerate() {
            svg.open(
                "g",
                &[("class", "names".into()), ("data-plane", (plane + 1).to_string()), ("hidden", String::new())],
            );
            for gear in gears {
                let below = match gear.form.teeth {
                    Teeth::Internal => gear.reach() - gear.form.module,
                    Teeth::External => 0.4 * gear.form.root_radius(),
                };
                let at = [gear.center[0], gear.center[1] - below];
                let on = gear.pin.map(|_| carrier.as_str());
                let size = number((gear.form.root_radius() * 0.3).min(reach * 0.06));
                svg.words("text", &upright("name", at, &size, on), &notes::gear(self.set, gear.gear));
            }
            svg.close("g");
        }
    }
}

/// What is in a picture with gears, in words.
const GEARS: &str = "Gears with involute teeth, each with a mark; pins with their numbers; round them the rims of the \
                     members on the main axis, each with its mark, its name and the way it turns.";
/// What is in one without.
const RIMS: &str = "The rims of the members on the main axis, each with its mark, its name and the way it turns.";

/// The rims of a group whose gears cannot be drawn.
pub(super) fn rims_alone(svg: &mut Svg, set: &Gearset, group: &PageGroup, id: &str) {
    let rims = Rims::alone(&group.members);
    let frame = PictureFrame { half: rims.outer() * HALF, unit: rims.outer() / 150.0, shows: RIMS };
    open(svg, set, group, id, &frame);
    svg.open("g", &[("class", "view".into()), ("transform", "scale(1 -1)".into())]);
    case(svg, rims.outer() * CASE);
    rims.turning(svg);
    svg.close("g");
    rims.still(svg, set, id);
    svg.close("svg");
}

/// What a picture begins with.
struct PictureFrame {
    /// Half its side.
    half: f64,
    /// What the widths of lines are counted in.
    unit: f64,
    /// What it shows, in words.
    shows: &'static str,
}

/// The beginning of the picture of a group, with what it is in words.
fn open(svg: &mut Svg, set: &Gearset, group: &PageGroup, id: &str, frame: &PictureFrame) {
    let [title, description] = ["title", "description"].map(|part| format!("{id}-{part}"));
    svg.open(
        "svg",
        &[
            ("viewBox", [-frame.half, -frame.half, 2.0 * frame.half, 2.0 * frame.half].map(number).join(" ")),
            ("role", "img".into()),
            ("aria-labelledby", format!("{title} {description}")),
            ("style", format!("--unit: {}px", number(frame.unit))),
        ],
    );
    svg.words("title", &[("id", title)], &format!("{}, face view", notes::group_name(set, &group.timed)));
    svg.words("desc", &[("id", description)], frame.shows);
}

/// The mark of a gear on the main axis: a wedge in its body that points to a tooth or, of a ring, to a space.
fn wedge(gear: &PlacedGear, reach: f64) -> String {
    let root = gear.form.root_radius();
    let [tip, base] = match gear.form.teeth {
        Teeth::External => [root, root - (reach * 0.06).min(root * 0.4)],
        Teeth::Internal => [root, gear.reach()],
    };
    let half = number((tip - base).abs() * 0.55);
    let [tip, base] = [tip, base].map(number);
    format!("M{tip} 0L{base} {half}L{base} -{half}Z")
}

/// Words at a point of the layout, or of a carrier.
fn upright(class: &str, at: [f64; 2], size: &str, carrier: Option<&str>) -> Vec<(&'static str, String)> {
    let mut attributes = place(&format!("upright {class}"), at, carrier);
    attributes.push(("font-size", size.to_owned()));
    attributes
}

/// A point of the layout, or of a carrier, for what stands upright there.
fn place(class: &str, [x, y]: [f64; 2], carrier: Option<&str>) -> Vec<(&'static str, String)> {
    let [x, y] = [x, y].map(number);
    let mut attributes = vec![("class", class.to_owned()), ("data-x", x), ("data-y", y)];
    attributes.extend(carrier.map(|carrier| ("data-carrier", carrier.to_owned())));
    attributes
}

/// The case: a circle with strokes outside, one of them upright and longer.
fn case(svg: &mut Svg, radius: f64) {
    svg.open("g", &[("class", "case".into())]);
    svg.empty("circle", &[("r", number(radius))]);
    for stroke in 0..36_u32 {
        let (sin, cos) = (f64::from(stroke) * 10.0).to_radians().sin_cos();
        let end = radius * if stroke == 0 { 1.05 } else { 1.02 };
        let start = radius * if stroke == 0 { 0.97 } else { 1.0 };
        let ends = [("x1", sin * start), ("y1", cos * start), ("x2", sin * end), ("y2", cos * end)];
        svg.empty("line", &ends.map(|(key, value)| (key, number(value))));
    }
    svg.close("g");
}
