//! Do the measured radii of pins change the backlash of their meshes, and which pin carries first, as they should?
//!
//! The values are those of flanks in contact: involutes drawn with the planet displaced, brought together until they
//! touch, compared with the closed forms; twelve digits of each were worked out to thirty. The best seating is looked
//! for a second time on a fine comb of turns.

use toothmark::timing::{GroupMatching, PinRadii, PlayVerdict, Seated};

use crate::support::process::{command, run_with};
use crate::support::sets::read_file;
use crate::timing::matching::of_text;

/// Pins a third of a turn apart, each so much further out and so much ahead along the circle, in a unit of so many
/// millimetres.
fn pins(circle: f64, outward: [f64; 3], ahead: [f64; 3], unit: f64) -> String {
    let turn = |pin: usize| (0..pin).map(|_| 120_f64.to_radians()).sum::<f64>() + ahead[pin] / circle;
    let radius = |pin: usize| circle + outward[pin];
    let chord = |pin: usize| {
        let next = (pin + 1) % 3;
        let between = (turn(next) - turn(pin)).cos();
        (radius(pin).powi(2) + radius(next).powi(2) - 2.0 * radius(pin) * radius(next) * between).sqrt()
    };
    let list = |of: &dyn Fn(usize) -> f64| [0, 1, 2].map(|pin| format!("{:.12}", of(pin) / unit)).join(", ");
    format!("pins: Chords([{}], [{}], 0.00000001)", list(&radius), list(&chord))
}

/// The railcar, its clusters alike, with a backlash of 0.06 mm.
fn railcar(pins: &str) -> String {
    read_file("gearsets/inspection-railcar.ron")
        .replace("pitch: Module(2.5),", "pitch: Module(2.5), backlash: Millimetres(0.06),")
        .replace("    controls:", &format!("    measured: {{\"cluster\": ({pins})}},\n    controls:"))
}

/// A cluster or planet between two central gears, module 2.5, backlash 0.1 mm.
fn between(centrals: [&str; 2], gears: &str, planets: [&str; 2], measured: &str) -> String {
    let ([a, b], [p, q]) = (centrals, planets);
    format!(
        "Gearset(title: \"t\", pitch: Module(2.5), backlash: Millimetres(0.1),
            members: {{\"a\": [{a}], \"b\": [{b}], \"carrier\": []}},
            planets: {{\"cluster\": (carrier: \"carrier\", pins: Equal(3), gears: [{gears}])}},
            meshes: [(\"A\", \"{p}\"), (\"B\", \"{q}\")],
            measured: {{\"cluster\": ({measured})}})"
    )
}

fn as_found(text: &str) -> Seated {
    of_text(text).as_found.expect("it assembles")
}

#[track_caller]
fn near(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() < within, "{found}, not {expected}");
}

/// Once the radii of measured pins served for their angles alone: a set with a pin 0.10 mm too far in was said to turn
/// freely with all of its backlash, though no mesh of that pin had any left.
#[test]
fn a_pin_too_far_in_binds_at_each_of_its_meshes() {
    let text = railcar(&pins(71.25, [0.0, -0.1, 0.0], [0.0; 3], 1.0));
    let matching = of_text(&text);
    assert_eq!((matching.binds, matching.pin_radii), (true, PinRadii::Compared));
    assert_eq!(matching.pins_without_backlash, [2]);
    let seated = matching.as_found.expect("it assembles");
    assert_eq!((seated.verdict, seated.tight_meshes.len()), (Some(PlayVerdict::Beyond), 3));
    for pin in &seated.pins {
        for residual in &pin.residuals {
            let backlash = 2.0 * residual.half_backlash_mm.expect("it is given");
            // Told at the working circle, which a pin further in makes smaller than the pitch circle.
            let expected = if pin.pin == 2 { -0.012_389_104_266_2 } else { 0.06 };
            let circle = if pin.pin == 2 { 71.15 / 71.25 } else { 1.0 };
            near(backlash * circle, expected, 1e-7);
        }
    }
    let answer = run_with(command(&["match", "-", "--full"]), text.as_bytes());
    assert_eq!(answer.code, 1, "{}", answer.stdout);
    let words = answer.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    for told in ["NO: the set takes 121 % of the backlash", "pin 2 -0.100", "Have pin 2 set on the pin circle"] {
        assert!(words.contains(told), "{told}: {words}");
    }
}

#[test]
fn a_pin_moved_by_its_clearance_has_the_backlash_of_its_centre_distance() {
    let radii = pins(75.0, [0.0, 0.03, -0.03], [0.0; 3], 1.0);
    let gears = "Gear(\"p\", 30), Gear(\"q\", 36)";
    let seated = as_found(&between(["Sun(\"A\", 30)", "Sun(\"B\", 24)"], gears, ["p", "q"], &radii));
    for (pin, (radius, expected)) in
        seated.pins.iter().zip([(75.0, 0.1), (75.03, 0.121_919_885_979), (74.97, 0.078_163_524_234_3)])
    {
        let backlash = 2.0 * pin.residuals[0].half_backlash_mm.expect("it is given");
        near(backlash * radius / 75.0, expected, 1e-7);
    }
}

/// How much later pin 2 carries than the others where one gear holds and another pushes, as an arc at the holding gear.
#[track_caller]
fn later(seated: &Seated, pushing: usize, holding: usize) -> f64 {
    let is_meant = |gear: usize, mesh: toothmark::gearset::MeshId| mesh.index() == gear;
    let mut contacts = seated.first_contacts.iter();
    let contact =
        contacts.find(|it| is_meant(pushing, it.pushing) && is_meant(holding, it.holding)).expect("both ways");
    let left = |pin: usize| {
        let found = contact.pins.iter().find(|it| it.pin == pin).expect("it carries");
        found.mm_left.expect("the pitch is given")
    };
    near(left(1), left(3), 1e-9);
    left(2) - left(1)
}

/// Pushing and holding mesh with the teeth of their gears on the cluster, and how much later, as an arc at the pushing
/// gear, a pin carries that stands 0.1 mm further out, and one that stands 0.1 mm ahead or behind along its circle.
struct Lag {
    meshes: [usize; 2],
    teeth: [f64; 2],
    radial: f64,
    tangential: f64,
}

/// The values are limits for small displacements, so a thousandth of a millimetre is measured, and told a hundredfold.
#[track_caller]
fn lags(text: impl Fn(&str) -> String, circle: f64, lags: &[Lag]) {
    let moved = |outward: f64, ahead: f64| as_found(&text(&pins(circle, [0.0, outward, 0.0], [0.0, ahead, 0.0], 1.0)));
    let (out, ahead) = (moved(0.001, 0.0), moved(0.0, 0.001));
    for lag in lags {
        let [pushing, holding] = lag.meshes;
        let at_pushing = 100.0 * lag.teeth[0] / lag.teeth[1];
        near(later(&out, pushing, holding) * at_pushing, lag.radial, 1e-5);
        near((later(&ahead, pushing, holding) * at_pushing).abs(), lag.tangential, 1e-5);
    }
}

#[test]
fn a_pin_further_out_carries_later_by_what_both_meshes_gain() {
    lags(
        railcar,
        71.25,
        &[
            Lag { meshes: [0, 1], teeth: [31.0, 37.0], radial: 0.066_891_826_838_1, tangential: 0.016_216_216_216_2 },
            Lag { meshes: [1, 0], teeth: [37.0, 31.0], radial: 0.079_838_632_032_6, tangential: 0.019_354_838_709_7 },
        ],
    );
    let suns = |measured: &str| {
        let gears = "Gear(\"p\", 30), Gear(\"q\", 36)";
        between(["Sun(\"A\", 30)", "Sun(\"B\", 24)"], gears, ["p", "q"], measured)
    };
    let pair =
        Lag { meshes: [0, 1], teeth: [30.0, 36.0], radial: 0.066_727_876_282_1, tangential: 0.016_666_666_666_7 };
    lags(suns, 75.0, &[pair]);
    // In a ring what the sun gains is lost, and only the place along the circle is felt, at both meshes.
    let ring = |measured: &str| between(["Sun(\"A\", 24)", "Ring(\"B\", 60)"], "Gear(\"p\", 18)", ["p", "p"], measured);
    lags(ring, 52.5, &[Lag { meshes: [0, 1], teeth: [18.0, 18.0], radial: 0.0, tangential: 0.2 }]);
}

#[test]
fn a_pin_a_tenth_further_out_is_said_to_wait() {
    let seated = as_found(&railcar(&pins(71.25, [0.0, 0.1, 0.0], [0.0; 3], 1.0)));
    near(later(&seated, 0, 1), 0.080, 5e-4);
    assert_eq!(seated.verdict, Some(PlayVerdict::Within));
    near(seated.level, 0.0, 1e-6);
}

/// Half of what a mesh on a circle of 52.5 mm loses of its backlash, in millimetres, where the pin stands further out.
fn short(outward: f64) -> f64 {
    let involute = |angle: f64| angle.tan() - angle;
    let angle = 20_f64.to_radians();
    52.5 * (involute(angle) - involute((52.5 * angle.cos() / (52.5 + outward)).acos()))
}

/// Pins of several radii with clusters p 18 in a sun of 24 and q 20 in a ring of 62, and the index of q on each.
struct UnevenPins {
    outward: [f64; 3],
    index: [f64; 3],
}

/// Half of the backlash, in teeth.
const HALF: f64 = 0.05 / (2.5 * std::f64::consts::PI);

impl UnevenPins {
    fn matching(&self) -> GroupMatching {
        let cluster = |pin: usize| format!("\"{pin}\": Index([Teeth(\"q\", {})])", self.index[pin]);
        let clusters = [0, 1, 2].map(cluster).join(", ");
        let measured = format!("{}, clusters: {{{clusters}}}", pins(52.5, self.outward, [0.0; 3], 1.0));
        let centrals = ["Sun(\"A\", 24)", "Ring(\"B\", 62)"];
        of_text(&between(centrals, "Gear(\"p\", 18), Gear(\"q\", 20)", ["p", "q"], &measured))
    }

    /// What two pins turned so far take: at each gear half of the error between them and of what both are short of, and
    /// what one is short of by itself.
    fn level(&self, (a, turn_a): (usize, f64), (b, turn_b): (usize, f64)) -> f64 {
        let row = |(planet, central, index): (f64, f64, f64)| {
            let short = |pin: usize| short(self.outward[pin]) * central.signum() / (2.5 * std::f64::consts::PI);
            let place = if a < b { 1.0 / 3.0 } else { -1.0 / 3.0 } * if a.abs_diff(b) == 2 { 2.0 } else { 1.0 };
            let apart = planet * (turn_b - turn_a) - central * place + index;
            let shared = ((apart - apart.round()).abs() + short(a) + short(b)) / 2.0;
            shared.max(short(a)).max(short(b)).max(0.0) / HALF
        };
        f64::max(row((18.0, 24.0, 0.0)), row((20.0, -62.0, self.index[b] - self.index[a])))
    }
}

#[test]
fn on_pins_of_several_radii_the_best_seating_is_that_of_a_fine_comb() {
    const STEPS: u32 = 40_000;
    for set in [
        UnevenPins { outward: [0.0, 0.05, 0.0], index: [0.0; 3] },
        UnevenPins { outward: [0.05, -0.1, 0.02], index: [0.0, 0.01, 0.0] },
        UnevenPins { outward: [-0.1, 0.02, 0.1], index: [0.0, -0.03, 0.02] },
        UnevenPins { outward: [0.1, 0.1, 0.1], index: [0.0, 0.0, 0.02] },
    ] {
        let found = set.matching().as_found.expect("it assembles").level;
        // Between two teeth of the comb an error changes by no more than half of 20 / 40 000 of a tooth, and half of
        // that is what each pin takes.
        let fine = 2.5e-4 / HALF;
        let comb = |pin: usize| -> Vec<f64> {
            let turns = (0..STEPS).map(|step| f64::from(step) / f64::from(STEPS));
            turns.filter(|&turn| set.level((0, 0.0), (pin, turn)) <= found + 2.0 * fine).collect()
        };
        let (second, third) = (comb(1), comb(2));
        let mut least = f64::INFINITY;
        for &on_second in &second {
            for &on_third in &third {
                let first = f64::max(set.level((0, 0.0), (1, on_second)), set.level((0, 0.0), (2, on_third)));
                least = least.min(first.max(set.level((1, on_second), (2, on_third))));
            }
        }
        assert!(found <= least + 1e-5 && least <= found + 2.0 * fine, "{:?}: {found}, not {least}", set.outward);
    }
}

#[test]
fn radii_are_compared_in_the_unit_that_fits_or_not_at_all() {
    let of = |pins: &str| -> GroupMatching { of_text(&railcar(pins)) };
    let millimetres = of(&pins(71.25, [0.0, -0.05, 0.02], [0.0; 3], 1.0));
    let inches = of(&pins(71.25, [0.0, -0.05, 0.02], [0.0; 3], 25.4));
    let level = |matching: &GroupMatching| matching.as_found.as_ref().expect("it assembles").level;
    near(level(&inches), level(&millimetres), 1e-6);
    near(inches.pins_off[1].outward_mm.expect("compared"), -0.05, 1e-8);
    let other = of(&pins(73.0, [0.0; 3], [0.0; 3], 1.0));
    assert_eq!((other.pin_radii, other.pins_off[1].outward_mm), (PinRadii::Unlike, None));
    assert!(level(&other) < 1e-6, "only the places were taken");
    let without = of_text(&railcar(&pins(71.25, [0.0, 0.1, 0.0], [0.0; 3], 1.0)).replace("pitch: Module(2.5),", ""));
    assert_eq!(without.pin_radii, PinRadii::NoPitch);
    assert_eq!(of("pins: Degrees([0, 120, 240], 0.01)").pin_radii, PinRadii::NotMeasured);
}
