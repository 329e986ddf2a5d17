//! What may hurt a maker, a child or a photo. Always told.

use crate::plan::Plan;
use crate::vocabulary::CAUTIONS;

/// A caution: in a few words, and in full.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Caution {
    /// What a style says to have it told.
    pub name: &'static str,
    pub short: &'static str,
    pub full: &'static str,
}

/// For whoever cuts.
pub const BLADES: Caution = Caution {
    name: CAUTIONS[0],
    short: "Cut away from your hand.",
    full: "Blades and trimmers: cut away from the hand that holds the paper, along a steel ruler, with a fresh blade and light strokes. Lock or cap the blade when you put it down, and keep fingers behind the trimmer's guard.",
};

/// Those of a plan's style; all where it lists none.
pub fn of(plan: &Plan) -> impl Iterator<Item = Caution> {
    let listed = &plan.cautions;
    ALL.into_iter().filter(|caution| match listed.is_empty() {
        // No bag, nothing to say of its paper.
        true => caution.name != CAUTIONS[4] || !plan.leaves.is_empty(),
        false => listed.iter().any(|it| it == caution.name),
    })
}

/// All cautions.
pub const ALL: [Caution; CAUTIONS.len()] = [
    BLADES,
    Caution {
        name: CAUTIONS[1],
        short: "Fingers off punches and hot glue.",
        full: "Punches: keep fingers out of the jaws, and punch no thicker stack than the maker of the punch allows. Hot glue burns: let it cool before you touch it, and unplug the gun.",
    },
    Caution {
        name: CAUTIONS[2],
        short: "Push awls and needles away from your hand.",
        full: "Awls and needles: push them away from your hand, into cork or felt, and count them when you put them away. Children sew with blunt needles through holes that are pierced.",
    },
    Caution {
        name: CAUTIONS[3],
        short: "No small parts or magnets for under-threes.",
        full: "Small parts, rings, strings and magnets: keep them from children under three. If you sell or give albums for children, the toy-safety rules of your country apply; ask a licensed test house or the authority in charge, not this program.",
    },
    Caution {
        name: CAUTIONS[4],
        short: "Bag paper is not photo-safe: use copies.",
        full: "Photos: unbleached bag paper is not photo-safe. Tuck in copies, or put photo-safe paper (ISO 18902, or one that passes the Photographic Activity Test of ISO 18916) between a photo and the bag.",
    },
];
