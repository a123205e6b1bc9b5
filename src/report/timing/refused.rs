//! Why the planets of a group do not go together, and what would, for a person.
//!
//! First how close the worst pin comes, then which gears refuse one another, then the ways
//! out: other numbers of equal pins, the nearest uneven places, other tooth counts.

use super::Timing;
use crate::exact::{Fraction, part_of_turn};
use crate::report::render::document::{Block, Fact, Table};
use crate::report::words::{degrees, length, list, mesh, with_decimal};
use crate::timing::{ByHand, CenterDistance, GroupTiming, NewCount, PinTiming, Refusal, ToothChange, WaysOut};
use num_traits::{Signed, Zero};

impl Timing<'_> {
    pub(super) fn refused(&self, group: &GroupTiming, blocks: &mut Vec<Block>) {
        if let Some(closest) = &group.closest {
            let arc = closest.seating.largest_arc(self.set).map(|arc| format!(": up to {}", length(arc)));
            blocks.push(Block::Paragraph(format!(
                "Pin {} comes least close: turned as well as can be, it is out by {} of a tooth{}",
                closest.pin,
                self.errors(&closest.seating.errors),
                arc.unwrap_or_default()
            )));
            if closest.seating.by_hand == Some(ByHand::Unnoticed) {
                blocks.push(Block::Warning(
                    "that is within the backlash: it could be pushed together all the same, and would run with tight \
                     spots and no free play. Never force it"
                        .into(),
                ));
            }
        }
        blocks.push(Block::Table(self.refusals(&group.refusals_at_their_worst())));
        if let Some(ways_out) = &group.ways_out {
            blocks.push(Block::Paragraph("What would go together instead:".into()));
            blocks.push(Block::Facts(self.ways_out(group, ways_out)));
        }
    }

    /// Which gears refuse, each combination with the pin where it is worst.
    fn refusals(&self, refusals: &[&Refusal]) -> Table {
        let row = |refusal: &&Refusal| {
            let meshes: Vec<String> = refusal.meshes.iter().map(|&id| mesh(self.set, id)).collect();
            vec![list(&meshes), refusal.pin.to_string(), with_decimal(&refusal.misfit)]
        };
        Table {
            caption: "Which gears refuse one another, and by how much these alone would be out when they share it"
                .into(),
            headings: ["these cannot all mesh", "worst on pin", "out by, teeth"].map(String::from).to_vec(),
            rows: refusals.iter().map(row).collect(),
        }
    }

    fn ways_out(&self, group: &GroupTiming, ways_out: &WaysOut) -> Vec<Fact> {
        let counts: Vec<String> = group.equal_pin_counts.iter().map(ToString::to_string).collect();
        let counts = match counts.as_slice() {
            [] => "none: no number from 2 to 8 goes".to_owned(),
            counts => format!("{} equally spaced", list(counts)),
        };
        let places = match &ways_out.places {
            Some(places) => {
                let places: Vec<String> = places.iter().zip(&group.pins).map(moved_pin).collect();
                format!("{}; drill them only if the carrier allows it", list(&places))
            }
            None => "none: two pins would come to the same place".into(),
        };
        let changes: Vec<String> = ways_out.tooth_changes.iter().map(|change| self.tooth_change(change)).collect();
        let changes = if changes.is_empty() { "none found within three teeth".to_owned() } else { changes.join("; ") };
        vec![Fact::new("other pins", counts), Fact::new("uneven pins", places), Fact::new("other teeth", changes)]
    }

    fn tooth_change(&self, change: &ToothChange) -> String {
        let new_count = |new: &NewCount| {
            let gear = self.set.gear(new.gear);
            format!("{} {} instead of {}", gear.name(), new.tooth_count, gear.tooth_count().get())
        };
        let gears: Vec<String> = change.gears.iter().map(new_count).collect();
        let distance = match change.center_distance {
            CenterDistance::Kept => "same centre distance",
            CenterDistance::NeedsProfileShift => "needs profile shift to keep the centre distance",
        };
        format!("{} ({distance})", list(&gears))
    }
}

/// A pin at its nearest allowed place.
fn moved_pin((place, pin): (&Fraction, &PinTiming)) -> String {
    let by = place - &pin.place;
    if by.is_zero() {
        return format!("pin {} stays", pin.pin);
    }
    let sign = if by.is_positive() { "+" } else { "" };
    let place = part_of_turn(place);
    format!("pin {} at {} degrees = {place} of a turn ({sign}{} degrees)", pin.pin, degrees(&place), degrees(&by))
}
