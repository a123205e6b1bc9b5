//! What several subcommands are asked alike: a state, a member, a number, a torque.
//!
//! Each is read here once, so that it is taken and refused in the same words everywhere.

use num_traits::Signed;
use toothmark::exact::{Fraction, parse};
use toothmark::gearset::{Gearset, MemberId};
use toothmark::statics::{InputTorque, TorqueUnit};

use super::input::Trouble;

/// The place of a state in the list of states.
pub(super) fn state(set: &Gearset, name: &str) -> Result<usize, Trouble> {
    set.states().iter().position(|state| state.name == name).ok_or_else(|| Trouble::NoSuchState {
        name: name.to_owned(),
        known: set.states().iter().map(|state| state.name.clone()).collect(),
    })
}

/// A member by its name.
pub(super) fn member(set: &Gearset, name: &str) -> Result<MemberId, Trouble> {
    set.member_named(name).ok_or_else(|| no_such_member(set, name))
}

/// A member that can turn: any but the case.
pub(super) fn moving_member(set: &Gearset, name: &str) -> Result<MemberId, Trouble> {
    member(set, name)
        .and_then(|member| if member == MemberId::CASE { Err(no_such_member(set, name)) } else { Ok(member) })
}

fn no_such_member(set: &Gearset, name: &str) -> Trouble {
    let known = set.members().iter().skip(1).map(|member| member.name().to_owned()).collect();
    Trouble::NoSuchMember { name: name.to_owned(), known }
}

/// A speed in revolutions per minute, with its sign.
pub(super) fn speed(text: &str) -> Result<Fraction, Trouble> {
    parse(text).ok_or_else(|| Trouble::NotASpeed { text: text.to_owned() })
}

/// A torque with its unit, N m where none is named; greater than zero: on overrun all signs turn, and that
/// is said anyhow.
pub(super) fn torque(text: &str) -> Result<InputTorque, Trouble> {
    torque_of(text).ok_or_else(|| Trouble::NotATorque { text: text.to_owned() })
}

fn torque_of(text: &str) -> Option<InputTorque> {
    let start = text.find(|letter: char| letter.is_alphabetic()).unwrap_or(text.len());
    let (number, unit) = text.split_at(start);
    let letters: String = unit.chars().filter(|letter| letter.is_alphabetic()).collect::<String>().to_lowercase();
    let unit = match letters.as_str() {
        "" | "nm" => TorqueUnit::NewtonMetres,
        "lbft" | "lbfft" | "ftlb" | "ftlbf" => TorqueUnit::PoundFeet,
        _ => return None,
    };
    parse(number).filter(Signed::is_positive).map(|amount| InputTorque { amount, unit })
}

#[cfg(test)]
mod tests {
    use super::*;
    use toothmark::exact::fraction;

    #[test]
    fn a_torque_is_read_with_its_unit() {
        let told = |number, unit| Some(InputTorque { amount: fraction(number, 1), unit });
        for text in ["30", "30 N m", "30Nm", "30 N·m"] {
            assert_eq!(torque_of(text), told(30, TorqueUnit::NewtonMetres), "{text}");
        }
        for text in ["22 lb ft", "22lbft", "22 ft-lb", "22 lbf ft"] {
            assert_eq!(torque_of(text), told(22, TorqueUnit::PoundFeet), "{text}");
        }
        for text in ["", "0", "-5", "N m", "30 kg", "30 lb", "1e3", "3 4"] {
            assert_eq!(torque_of(text), None, "{text}");
        }
    }
}
