//! What is to be done in one plane of a rotor?

use super::allowed::{felt_on_knife_edges, permissible_unbalance, shares_of_planes};
use super::answer::{
    BalanceCaution, BalanceVerdict, DrillingPlace, DrillingTerms, FoundUnbalance, GradeAllowance, PlaneBalance,
    RotorBalance, WeightToPutOn,
};
use super::found::UnbalanceGoodTo;
use super::plan::{PlanAsked, PlanLimit};
use super::planes::split_between;
use super::question::{Allowance, BalanceQuestion, Correction, CorrectionPlace, FoundBy};
use super::refusal::CannotBalance;
use super::unbalance::{Unbalance, degrees_apart, degrees_within_a_turn};

/// One plane, and what is asked of it.
pub(super) struct PlaneAsked<'a> {
    /// Counted from 1.
    pub(super) plane: usize,
    pub(super) found: Unbalance,
    pub(super) good_to: UnbalanceGoodTo,
    pub(super) mirrored: Option<Unbalance>,
    /// Whether readings agree.
    pub(super) agrees: bool,
    pub(super) allowed: Option<f64>,
    pub(super) correction: Option<&'a Correction>,
    /// The radius at which weights were.
    pub(super) radius: Option<f64>,
}

impl PlaneAsked<'_> {
    /// What is to be done in it.
    pub(super) fn answered(self) -> Result<PlaneBalance, CannotBalance> {
        let is_within = self.allowed.is_some_and(|allowed| self.found.g_mm <= allowed);
        let is_open = self.mirrored.is_some_and(|other| degrees_apart(other.degrees, self.found.degrees) > 1.0);
        match (self.correction, self.allowed) {
            _ if !self.agrees => Ok(self.told(BalanceVerdict::MeasureAgain)),
            _ if is_within => Ok(self.told(BalanceVerdict::WithinAllowed)),
            _ if is_open => Ok(self.told(BalanceVerdict::TwoAngles)),
            (Some(Correction { places, drilling: Some(drilling) }), Some(allowed)) => {
                let asked = PlanAsked { found: self.found, allowed, places, drilling, plane: self.plane };
                let plan = asked.plan()?;
                let reaches = plan.limits.is_empty();
                let verdict = if reaches { BalanceVerdict::Drill } else { BalanceVerdict::NothingReaches };
                Ok(PlaneBalance {
                    plan: plan.holes,
                    left: Some(plan.left),
                    left_by_depth_g_mm: Some(plan.left_by_depth),
                    left_by_density_g_mm: Some(plan.left_by_density),
                    limits: plan.limits,
                    ..self.told(verdict)
                })
            }
            (Some(Correction { places, .. }), _) => Ok(match put_on(self.found.opposite(), places) {
                Some(put_on) => {
                    PlaneBalance { put_on, left: Some(Unbalance::new(0.0, 0.0)), ..self.told(BalanceVerdict::PutOn) }
                }
                None => PlaneBalance { limits: vec![PlanLimit::Places], ..self.told(BalanceVerdict::NothingReaches) },
            }),
            (None, _) => Ok(self.told(BalanceVerdict::ToCorrect)),
        }
    }

    fn told(&self, verdict: BalanceVerdict) -> PlaneBalance {
        let Unbalance { g_mm, degrees } = self.found;
        PlaneBalance {
            plane: self.plane,
            allowed_g_mm: self.allowed,
            found: FoundUnbalance {
                g_mm,
                degrees,
                within_g_mm: self.good_to.whole,
                size_within_g_mm: self.good_to.size,
            },
            or_degrees: self.mirrored.map(|other| other.degrees).filter(|_| verdict == BalanceVerdict::TwoAngles),
            verdict,
            plan: Vec::new(),
            put_on: self.balancing(verdict),
            left: (verdict == BalanceVerdict::WithinAllowed).then_some(self.found),
            left_by_depth_g_mm: None,
            left_by_density_g_mm: None,
            limits: Vec::new(),
        }
    }
}

impl PlaneAsked<'_> {
    /// Where nothing is said of places: the weight that balances at the radius of those that were there, of two possible
    /// ones the other as well.
    fn balancing(&self, verdict: BalanceVerdict) -> Vec<WeightToPutOn> {
        let heavy = match verdict {
            BalanceVerdict::ToCorrect => vec![self.found],
            BalanceVerdict::TwoAngles => [self.found].into_iter().chain(self.mirrored).collect(),
            BalanceVerdict::NothingFound
            | BalanceVerdict::WithinAllowed
            | BalanceVerdict::MeasureAgain
            | BalanceVerdict::Drill
            | BalanceVerdict::PutOn
            | BalanceVerdict::NothingReaches => Vec::new(),
        };
        let weight = |(heavy, radius): (Unbalance, f64)| WeightToPutOn {
            place_degrees: heavy.opposite().degrees,
            radius_mm: radius,
            grams: heavy.g_mm / radius,
        };
        heavy.into_iter().zip(self.radius.into_iter().cycle()).map(weight).collect()
    }
}

/// Whether every choice of holes was tried, or none is needed.
pub(super) fn is_decided(verdict: BalanceVerdict) -> bool {
    match verdict {
        BalanceVerdict::WithinAllowed | BalanceVerdict::Drill | BalanceVerdict::NothingReaches => true,
        BalanceVerdict::NothingFound
        | BalanceVerdict::ToCorrect
        | BalanceVerdict::PutOn
        | BalanceVerdict::TwoAngles
        | BalanceVerdict::MeasureAgain => false,
    }
}

/// Which verdict of several planes is that of the rotor: the weightiest.
pub(super) fn weight(verdict: BalanceVerdict) -> usize {
    match verdict {
        BalanceVerdict::NothingFound => 0,
        BalanceVerdict::WithinAllowed => 1,
        BalanceVerdict::ToCorrect => 2,
        BalanceVerdict::PutOn => 3,
        BalanceVerdict::Drill => 4,
        BalanceVerdict::TwoAngles => 5,
        BalanceVerdict::NothingReaches => 6,
        BalanceVerdict::MeasureAgain => 7,
    }
}

/// The weights that balance, at the place where they belong or at the two beside it.
fn put_on(correction: Unbalance, places: &[CorrectionPlace]) -> Option<Vec<WeightToPutOn>> {
    /// Angles that differ by less are one.
    const ALIKE: f64 = 1e-6;
    let weight = |place: &CorrectionPlace, g_mm: f64| WeightToPutOn {
        place_degrees: degrees_within_a_turn(place.degrees),
        radius_mm: place.radius,
        grams: g_mm / place.radius,
    };
    if let Some(place) = places.iter().find(|place| degrees_apart(place.degrees, correction.degrees) < ALIKE) {
        return Some(vec![weight(place, correction.g_mm)]);
    }
    let after = |place: &&CorrectionPlace| degrees_within_a_turn(place.degrees - correction.degrees);
    let next = places.iter().min_by(|a, b| after(a).total_cmp(&after(b)))?;
    let before = places.iter().max_by(|a, b| after(a).total_cmp(&after(b)))?;
    let [first, second] = split_between(correction, [before.degrees, next.degrees])?;
    Some(vec![weight(before, first), weight(next, second)])
}

impl Allowance {
    /// What may be left in the whole rotor.
    pub(super) fn gram_millimetres(&self) -> f64 {
        match self {
            Self::GramMillimetres(allowed) => *allowed,
            Self::Grade { grade, kilograms, rpm, .. } => permissible_unbalance(*grade, *kilograms, *rpm),
        }
    }

    /// The same for each of so many planes.
    pub(super) fn shares(&self, planes: usize) -> Vec<f64> {
        let whole = self.gram_millimetres();
        if planes < 2 {
            return vec![whole];
        }
        let from_bearings = match self {
            Self::GramMillimetres(_) => None,
            Self::Grade { from_bearings, .. } => *from_bearings,
        };
        shares_of_planes(from_bearings.unwrap_or([1.0; 2])).map(|share| share * whole).to_vec()
    }

    /// How it follows from a grade, where it does.
    pub(super) fn by_grade(&self) -> Option<GradeAllowance> {
        let Self::Grade { grade, kilograms, rpm, speed, .. } = self else { return None };
        Some(GradeAllowance {
            grade: *grade,
            kilograms: *kilograms,
            rpm: *rpm,
            speed: speed.clone(),
            // g mm for a kg are micrometres.
            micrometres: self.gram_millimetres() / kilograms,
            felt_on_knife_edges_g_mm: felt_on_knife_edges(*kilograms),
        })
    }
}

/// Where and with what is drilled, as it was asked.
pub(super) fn drilling_terms(correction: &Correction) -> Option<DrillingTerms> {
    let drilling = correction.drilling.as_ref()?;
    let place = |place: &CorrectionPlace| {
        let hole = drilling.drilled.iter().find(|hole| hole.is_at(*place));
        DrillingPlace {
            degrees: degrees_within_a_turn(place.degrees),
            radius_mm: place.radius,
            drilled_drill_mm: hole.map(|hole| hole.drill),
            drilled_depth_mm: hole.map(|hole| hole.depth),
        }
    };
    Some(DrillingTerms {
        direction: drilling.direction,
        material: drilling.material,
        density_g_cm3: drilling.material.density(),
        thickness_mm: drilling.thickness,
        wall_mm: drilling.wall,
        outer_radius_mm: drilling.outer_radius,
        drills_mm: drilling.drills.clone(),
        depth_step_mm: drilling.depth_step,
        least_depth_mm: drilling.least_depth,
        places: correction.places.iter().map(place).collect(),
    })
}

/// The question with holes that keep off the edge, where only the diameter of the rotor says where that is.
pub(super) fn with_edge(question: &BalanceQuestion) -> BalanceQuestion {
    let mut question = question.clone();
    let radius = question.size.map(|size| size.diameter / 2.0);
    if let Some(drilling) = question.correction.as_mut().and_then(|correction| correction.drilling.as_mut()) {
        drilling.outer_radius = drilling.outer_radius.or(radius);
    }
    question
}

/// Where the rotor ends, as the holes have to know it, or by its diameter.
pub(super) fn outer_radius(question: &BalanceQuestion) -> Option<f64> {
    let drilling = question.correction.as_ref().and_then(|correction| correction.drilling.as_ref());
    let by_size = question.size.map(|size| size.diameter / 2.0);
    drilling.and_then(|drilling| drilling.outer_radius).or(by_size)
}

/// A disc that is narrower than this part of its diameter, and slower than this, is balanced in one plane.
const NARROW: f64 = 1.0 / 3.0;
const SLOW: f64 = 1000.0;

/// What to beware of.
pub(super) fn cautions(question: &BalanceQuestion, answer: &RotorBalance) -> Vec<BalanceCaution> {
    let grade = answer.allowance.as_ref();
    let is_static = matches!(question.found, Some(FoundBy::Weights { planes: None, .. }));
    let knife_edges = grade.is_some_and(|grade| answer.allowed_g_mm < Some(grade.felt_on_knife_edges_g_mm[1]));
    let coarse = |plane: &PlaneBalance| plane.allowed_g_mm.is_some_and(|allowed| plane.found.within_g_mm > allowed);
    let is_wide = question.size.and_then(|size| Some(size.width? > NARROW * size.diameter));
    let is_fast = grade.is_some_and(|grade| grade.rpm >= SLOW);
    let one_plane = answer.planes.len() == 1 && (is_wide == Some(true) || is_fast);
    let trials = answer.trials.as_ref();
    let too_deep = |plane: &PlaneBalance| {
        let worst = plane.left_by_depth_g_mm.into_iter().chain(plane.left_by_density_g_mm).fold(0.0, f64::max);
        plane.verdict == BalanceVerdict::Drill && plane.allowed_g_mm.is_some_and(|allowed| worst > allowed)
    };
    let speed = grade.and_then(|grade| grade.speed.as_ref());
    [
        (is_static && knife_edges, BalanceCaution::KnifeEdges),
        (answer.planes.iter().any(coarse), BalanceCaution::ReadingsTooCoarse),
        (answer.planes.iter().any(PlaneBalance::may_be_over), BalanceCaution::MayBeOver),
        (trials.is_some_and(|trials| trials.tells.contains(&false)), BalanceCaution::TrialTellsLittle),
        (trials.is_some_and(|trials| !trials.agrees), BalanceCaution::RunsDisagree),
        (one_plane, BalanceCaution::OnePlane),
        (speed.is_some_and(|speed| !speed.open_in.is_empty()), BalanceCaution::SpeedOpen),
        (answer.planes.iter().any(too_deep), BalanceCaution::DepthCounts),
    ]
    .into_iter()
    .filter_map(|(is_so, caution)| is_so.then_some(caution))
    .collect()
}
