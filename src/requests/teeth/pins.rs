//! Pins out of their places, bushes and run-outs as they are typed: `2=out:0.05mm,ccw:0.02mm`, `cluster:2=0.08mm`,
//! `D=0.04mm`.

use crate::exact::TypedNumber;

use crate::requests::Refusal;
use crate::requests::values::{length, name_and_value, refused};

/// Which pin is meant, as typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct TypedPin {
    /// The planet; the only one where none is named.
    pub(super) planet: Option<String>,
    /// Counted from 1.
    pub(super) pin: usize,
}

/// A pin out of its place.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct TypedPinError {
    pub(super) of: TypedPin,
    /// Further out than its circle, in millimetres.
    pub(super) outward_mm: f64,
    /// Along its circle, counter-clockwise seen from the input side.
    pub(super) ahead_mm: f64,
}

/// The clearance of one bush, or of all.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct TypedClearance {
    pub(super) of: Option<TypedPin>,
    pub(super) mm: f64,
}

/// A gear that runs out.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct TypedRunOut {
    pub(super) gear: String,
    pub(super) mm: f64,
}

const PIN_HINT: &str = "write the pin, = and where it stands, such as --pin 2=out:0.05mm, --pin 2=in:2thou or --pin \
                        2=out:0.05mm,ccw:0.02mm (seen from the input side); cluster:2=... where there are several planets";

/// `2=out:0.05mm`, `2=in:0.1mm,cw:0.02mm`, `2=0.05mm out`, `long:2=ccw:2thou`.
pub(super) fn pin_error(text: &str) -> Result<TypedPinError, Refusal> {
    let not_one = || Refusal::new(format!("{text:?} does not say how a pin stands out of its place"), PIN_HINT);
    let (pin, parts) = name_and_value(text).ok_or_else(not_one)?;
    let mut found = TypedPinError { of: typed_pin(pin).ok_or_else(not_one)?, outward_mm: 0.0, ahead_mm: 0.0 };
    let (mut radial, mut along) = (0, 0);
    for part in parts_of(parts) {
        let (side, size) = side_and_size(&part).ok_or_else(not_one)?;
        let mm = length(&size)?.millimetres();
        match side {
            PinSide::Out => (found.outward_mm, radial) = (mm, radial + 1),
            PinSide::In => (found.outward_mm, radial) = (-mm, radial + 1),
            PinSide::CounterClockwise => (found.ahead_mm, along) = (mm, along + 1),
            PinSide::Clockwise => (found.ahead_mm, along) = (-mm, along + 1),
        }
    }
    if radial > 1 || along > 1 || radial + along == 0 { Err(not_one()) } else { Ok(found) }
}

/// `0.05mm` for all, `2=0.08mm`, `cluster:2=0.08mm`.
pub(super) fn clearance(text: &str) -> Result<TypedClearance, Refusal> {
    let Some((pin, size)) = name_and_value(text) else {
        return Ok(TypedClearance { of: None, mm: length(text)?.millimetres() });
    };
    let of = typed_pin(pin).ok_or_else(|| {
        let hint = "write the difference of the diameters of bush and pin, such as --clearance 0.05mm; of one pin alone \
                    --clearance 2=0.08mm";
        Refusal::new(format!("{text:?} is not the clearance of a bush"), hint)
    })?;
    Ok(TypedClearance { of: Some(of), mm: length(size)?.millimetres() })
}

/// `D=0.04mm`.
pub(super) fn run_out(text: &str) -> Result<TypedRunOut, Refusal> {
    let (gear, size) = name_and_value(text).ok_or_else(|| {
        let hint = "write the gear and what a dial on its teeth shows over a turn, such as --run-out D=0.04mm";
        Refusal::new(format!("{text:?} is not the run-out of a gear"), hint)
    })?;
    Ok(TypedRunOut { gear: gear.to_owned(), mm: length(size)?.millimetres() })
}

/// A stiffness in newtons per millimetre.
pub(super) fn stiffness(text: &str) -> Result<f64, Refusal> {
    let hint = "write how many newtons move one planet on its pin by a millimetre, such as --stiffness 20000";
    scaled(text, "a stiffness", hint, &[("", 1.0), ("n/mm", 1.0), ("kn/mm", 1e3), ("n/um", 1e3), ("n/µm", 1e3)])
}

/// A force in newtons.
pub(super) fn force(text: &str) -> Result<f64, Refusal> {
    const POUND: f64 = crate::gearset::NEWTONS_PER_POUND_FORCE;
    let hint = "write newtons, such as --tooth-force 3000, or \"3 kN\", \"670 lbf\"";
    let units = [("", 1.0), ("n", 1.0), ("newton", 1.0), ("newtons", 1.0), ("kn", 1e3), ("lbf", POUND), ("lb", POUND)];
    scaled(text, "a force", hint, &units)
}

/// A number with one of these units.
fn scaled(text: &str, what: &str, hint: &str, units: &[(&str, f64)]) -> Result<f64, Refusal> {
    let typed = TypedNumber::read(text).map_err(|fault| refused(text, what, hint, &fault))?;
    let word = typed.words.concat();
    let unit = units.iter().find(|(unit, _)| *unit == word);
    let unit = unit.ok_or_else(|| Refusal::new(format!("{text:?} is not {what}"), hint))?;
    Ok(crate::exact::to_float(&typed.value) * unit.1)
}

/// Which way a pin stands out of its place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum PinSide {
    Out,
    In,
    CounterClockwise,
    Clockwise,
}

impl PinSide {
    fn named(word: &str) -> Option<Self> {
        Some(match word.to_lowercase().as_str() {
            "out" | "outward" | "outwards" => Self::Out,
            "in" | "inward" | "inwards" => Self::In,
            "ccw" | "counter-clockwise" | "counterclockwise" | "anticlockwise" => Self::CounterClockwise,
            "cw" | "clockwise" => Self::Clockwise,
            _ => return None,
        })
    }
}

/// `2`, `pin 2`, `cluster:2`.
fn typed_pin(text: &str) -> Option<TypedPin> {
    let (planet, pin) = match text.rsplit_once(':') {
        Some((planet, pin)) => (Some(planet.trim().to_owned()), pin),
        None => (None, text),
    };
    let pin = pin.trim().trim_start_matches("pin").trim().parse().ok()?;
    Some(TypedPin { planet, pin })
}

/// What stands between commas; a comma in a number parts nothing, as no side is named before it or behind it.
fn parts_of(text: &str) -> Vec<String> {
    let mut parts: Vec<String> = Vec::new();
    let mut is_whole = true;
    for piece in text.split([',', ';']) {
        match parts.last_mut().filter(|_| !is_whole || side_and_size(piece).is_none()) {
            Some(open) => *open = format!("{open},{piece}"),
            None => parts.push(piece.to_owned()),
        }
        is_whole = parts.last().is_some_and(|part| side_and_size(part).is_some());
    }
    parts
}

/// `out:0.05mm`, `0.05mm out`.
fn side_and_size(text: &str) -> Option<(PinSide, String)> {
    let text = text.trim();
    let before = text.split_once([':', ' ']).and_then(|(side, size)| Some((PinSide::named(side.trim())?, size)));
    let behind = || text.rsplit_once([':', ' ']).and_then(|(size, side)| Some((PinSide::named(side.trim())?, size)));
    let is_size = |found: &(PinSide, &str)| found.1.contains(|sign: char| sign.is_ascii_digit());
    // "0.05 in" may be an inch.
    let has_unit =
        |found: &(PinSide, &str)| found.0 != PinSide::In || found.1.ends_with(|sign: char| !sign.is_ascii_digit());
    let (side, size) = before.or_else(|| behind().filter(has_unit)).filter(is_size)?;
    Some((side, size.trim().to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn stands(text: &str, planet: Option<&str>, pin: usize, outward_mm: f64, ahead_mm: f64) {
        let found = pin_error(text).unwrap_or_else(|refusal| panic!("{text:?}: {refusal}"));
        assert_eq!(found.of, TypedPin { planet: planet.map(String::from), pin }, "{text:?}");
        let off = (found.outward_mm - outward_mm).abs().max((found.ahead_mm - ahead_mm).abs());
        assert!(off < 1e-12, "{text:?}: {found:?}");
    }

    #[test]
    fn a_pin_stands_to_a_side() {
        stands("2=out:0.05mm", None, 2, 0.05, 0.0);
        stands("2=in:0,1", None, 2, -0.1, 0.0);
        stands("pin 2 = in:2 thou", None, 2, -0.0508, 0.0);
        stands("cluster:3=out:0.05mm,cw:0.02mm", Some("cluster"), 3, 0.05, -0.02);
        stands("3=ccw:0,02mm,out:0,05mm", None, 3, 0.05, 0.02);
        stands("1=0.05mm out", None, 1, 0.05, 0.0);
        stands("1=0.002in in", None, 1, -0.0508, 0.0);
        stands("a:b:1=0.05mm ccw; 0.1mm in", Some("a:b"), 1, -0.1, 0.05);
    }

    #[test]
    fn what_says_no_side_or_no_size_is_refused() {
        for text in [
            "2",
            "2=",
            "2=0.05mm",
            "2=0.05 in",
            "2=up:0.05",
            "x=out:0.05",
            "2=out:",
            "2=out:-0.05",
            "2=out:1,in:1",
            "=out:1",
        ] {
            assert!(pin_error(text).is_err(), "{text:?}");
        }
    }

    #[test]
    fn clearances_run_outs_and_forces_have_units() {
        assert_eq!(clearance("0.05mm").unwrap(), TypedClearance { of: None, mm: 0.05 });
        assert_eq!(clearance("2=2thou").unwrap().of, Some(TypedPin { planet: None, pin: 2 }));
        assert!(clearance("-0.05").is_err() && clearance("D=0.05").is_err());
        assert_eq!(run_out("D=0.04mm").unwrap(), TypedRunOut { gear: "D".into(), mm: 0.04 });
        assert!(run_out("0.04mm").is_err());
        assert!((stiffness("20 kN/mm").unwrap() - 20_000.0).abs() < 1e-9);
        assert!((force("100 lbf").unwrap() - 444.822_161_526_05).abs() < 1e-9);
        assert!(force("3 kg").is_err() && stiffness("soft").is_err());
    }
}
