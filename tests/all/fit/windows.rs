//! The distances at which pins could stand, against every distance of a fine row and the roots of the sums of shifts.
//!
//! One planet gear meshes with a sun and with a second sun or a ring; which shifts the three allow is worked out here, and
//! whether some of them add up. The seed is printed.

use toothmark::description;
use toothmark::fit::{CloseQuestion, PinCircleFit, close};
use toothmark::tooth::{Teeth, ToothForm, shift_for_tip_thickness};

use crate::tooth::lots::Lots;

const SEED: u64 = 1731;
const MODULE: f64 = 2.0;
/// A described shift that is off by no more closes.
const SAME_SHIFT: f64 = 1e-3;

/// A planet gear p between a sun A and a sun or ring B.
#[derive(Debug, Clone, Copy)]
struct Train {
    sun: u16,
    planet: u16,
    second: u16,
    is_ring: bool,
    /// Described shifts of A and B.
    shifts: [Option<f64>; 2],
    pins_at: f64,
}

/// inv a - inv b of the working angle at this distance, times z / (2 tan a): the sum of shifts; `None` where the base
/// circles leave no mesh.
fn sum_of_shifts(count_sum: f64, distance: f64) -> Option<f64> {
    let angle = 20_f64.to_radians();
    let cosine = MODULE * count_sum / 2.0 * angle.cos() / distance;
    let involute = |angle: f64| angle.tan() - angle;
    (cosine < 1.0).then(|| count_sum * (involute(cosine.acos()) - involute(angle)) / (2.0 * angle.tan()))
}

/// Not undercut, and a tip of 0.2 module.
fn allowed(count: u16) -> [f64; 2] {
    let form = ToothForm::standard(Teeth::External, count, MODULE);
    let least = 1.0 - f64::from(count) / 2.0 * 20_f64.to_radians().sin().powi(2);
    let most = shift_for_tip_thickness(&form, 0.2 * MODULE).expect("tips become thin");
    [least.max(-1.5), most.min(1.5)]
}

impl Train {
    fn sums(&self, distance: f64) -> Option<[f64; 2]> {
        let [sun, planet, second] = [self.sun, self.planet, self.second].map(f64::from);
        let second = if self.is_ring { second - planet } else { second + planet };
        Some([sum_of_shifts(sun + planet, distance)?, sum_of_shifts(second, distance)?])
    }

    /// The shifts of the planet gear that a shift of A or of B leaves at a distance.
    fn left_to_planet(&self, [first, second]: [f64; 2], [of_first, of_second]: [f64; 2]) -> [f64; 2] {
        [first - of_first, if self.is_ring { of_second - second } else { second - of_second }]
    }

    /// What A, the planet gear and B allow.
    fn allowed(&self) -> [[f64; 2]; 3] {
        let described = |shift: Option<f64>, open: [f64; 2]| shift.map_or(open, |shift| [shift; 2]);
        let second = if self.is_ring { [-1.5, 1.5] } else { allowed(self.second) };
        [described(self.shifts[0], allowed(self.sun)), allowed(self.planet), described(self.shifts[1], second)]
    }

    /// Whether shifts that the gears allow add up at a distance.
    fn serves(&self, [first, own, second]: [[f64; 2]; 3], distance: f64) -> bool {
        let Some(sums) = self.sums(distance) else { return false };
        if sums.iter().any(|sum| sum.abs() > 1.5) {
            return false;
        }
        let ends = [0, 1].map(|end| self.left_to_planet(sums, [first[end], second[end]]));
        let least = |side: usize| ends[0][side].min(ends[1][side]);
        let most = |side: usize| ends[0][side].max(ends[1][side]);
        if self.shifts.iter().all(Option::is_some) {
            let is_allowed = [0, 1].iter().all(|&side| (own[0]..=own[1]).contains(&least(side)));
            return is_allowed && (least(0) - least(1)).abs() <= SAME_SHIFT;
        }
        own[0].max(least(0)).max(least(1)) <= own[1].min(most(0)).min(most(1))
    }

    fn fit(&self) -> PinCircleFit {
        let second = if self.is_ring { "Ring" } else { "Sun" };
        let shifts = ["A", "B"].into_iter().zip(self.shifts);
        let shifts: Vec<String> =
            shifts.filter_map(|(gear, shift)| Some(format!("{gear:?}: (shift: \"{:.9}\")", shift?))).collect();
        let text = format!(
            r#"Gearset(
                title: "t", pitch: Module({MODULE}), pin_circles: {{"planet": Millimetres({:.6})}}, teeth: {{{}}},
                members: {{"a": [Sun("A", {})], "b": [{second}("B", {})], "carrier": []}},
                planets: {{"planet": (carrier: "carrier", pins: Equal(3), gears: [Gear("p", {})])}},
                meshes: [("A", "p"), ("B", "p")],
            )"#,
            self.pins_at,
            shifts.join(", "),
            self.sun,
            self.second,
            self.planet,
        );
        let set = description::read(&text).unwrap_or_else(|problem| panic!("{text}: {problem:?}"));
        let fit = close(&set, &CloseQuestion::default()).expect("every mesh has a pitch");
        fit.pin_circles.into_iter().next().expect("the planet stands somewhere")
    }
}

/// Counts that nearly close, and shifts that close somewhere near, or nearly so.
fn random_train(lots: &mut Lots) -> Train {
    let (sun, planet) = (lots.count(18, 45), lots.count(18, 30));
    let is_ring = lots.count(0, 1) == 0;
    let meant = if is_ring { sun + 2 * planet } else { sun };
    let second = meant + lots.count(0, 3);
    let nominal = MODULE * f64::from(sun + planet) / 2.0;
    let pins_at = nominal + lots.between(-0.3, 0.8);
    let mut train = Train { sun, planet, second, is_ring, shifts: [None; 2], pins_at };
    let serving = nominal + lots.between(0.0, 0.6) * f64::from(second - meant);
    let Some(sums) = train.sums(serving) else { return train };
    // What the planet gear would have where the described ones close.
    let of_planet = lots.between(-0.1, 0.6);
    let both = [sums[0] - of_planet, if is_ring { sums[1] + of_planet } else { sums[1] - of_planet }];
    train.shifts = lots.pick(&[
        [Some(both[0]), Some(both[1])],
        [Some(both[0]), Some(both[1])],
        [Some(both[0] + 0.3), None],
        [None, Some(both[1] - 0.3)],
        [None, None],
    ]);
    if train.shifts.iter().flatten().any(|shift| shift.abs() > 1.4) {
        train.shifts = [None; 2];
    }
    train
}

#[expect(clippy::print_stdout, reason = "the seed and what was counted")]
#[test]
fn windows_are_those_of_a_fine_row_of_distances_however_narrow() {
    const STEP: f64 = 2.5e-4;
    let mut lots = Lots::new(SEED);
    let [mut narrow, mut wide, mut none] = [0_u32; 3];
    while narrow < 60 || wide < 60 {
        let train = random_train(&mut lots);
        let fit = train.fit();
        let nominal = MODULE * f64::from(train.sun + train.planet) / 2.0;
        let row = (-20_000..24_000).map(|step| nominal + STEP * f64::from(step));
        let allowed = train.allowed();
        let serving: Vec<f64> = row.filter(|&at| train.serves(allowed, at)).collect();
        let (Some(&first), Some(&last)) = (serving.first(), serving.last()) else {
            none += 1;
            // Between two of the row there may be one all the same.
            assert!(fit.window_mm.is_none_or(|window| window.second - window.first < STEP), "{train:?}: {fit:?}");
            continue;
        };
        let window = fit.window_mm.unwrap_or_else(|| panic!("{train:?} has from {first} to {last}: {fit:?}"));
        assert!((window.first - first).abs() < 1.01 * STEP, "{train:?} from {first}: {window:?}");
        assert!((window.second - last).abs() < 1.01 * STEP, "{train:?} to {last}: {window:?}");
        *(if last - first < 0.02 { &mut narrow } else { &mut wide }) += 1;
    }
    println!("seed {SEED}: {narrow} narrow windows, {wide} wide ones, {none} without");
}

/// Two suns with described shifts leave the pins a few micrometres where the difference of their sums is right.
#[test]
fn a_window_of_micrometres_ends_at_the_roots_of_the_difference_of_two_sums() {
    for step in 0..20_u32 {
        let shifts = [0.7, -0.7 - 0.01 * f64::from(step)];
        let train = Train { sun: 30, planet: 20, second: 33, is_ring: false, shifts: shifts.map(Some), pins_at: 51.0 };
        let window = train.fit().window_mm.unwrap_or_else(|| panic!("{shifts:?} close somewhere"));
        // The difference of the sums rises with the distance.
        let root = |off: f64| {
            let (mut low, mut high) = (50.5, 53.0);
            for _ in 0..60 {
                let middle = f64::midpoint(low, high);
                let [first, second] = train.sums(middle).expect("they mesh");
                *(if first - second < shifts[0] - shifts[1] + off { &mut low } else { &mut high }) = middle;
            }
            low
        };
        let ends = [root(-SAME_SHIFT), root(SAME_SHIFT)];
        assert!(ends[1] - ends[0] < 0.012, "{ends:?}");
        assert!((window.first - ends[0]).abs() < 1e-6 && (window.second - ends[1]).abs() < 1e-6, "{window:?} {ends:?}");
    }
}
