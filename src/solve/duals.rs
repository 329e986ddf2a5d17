//! All irreducible conflicts among members, and all smallest ways to leave some out.
//!
//! Whatever is left out to make the rest hold meets every conflict; so the smallest ways to leave
//! out are the minimal hitting sets of the conflicts (Reiter 1987), and the conflicts are all known
//! when every minimal hitting set of those known makes the rest hold. The hitting sets are kept as
//! a list, extended by one conflict at a time (Berge 1989). Each question is asked of the largest
//! set of members still open, as in MARCO (Liffiton et al. 2016), but the map is this list.

use super::desk::{Desk, Refuted, Told, is_within, without};
use super::limits::Why;
use super::price::note;
use super::problem::Witness;
use super::solution::Certificate;

/// Hitting sets kept at once. Beyond it, the answer is not complete.
const HITTING_SETS: usize = 2_048;

/// Members that fail together.
#[derive(Clone, Debug)]
pub(super) struct Core {
    /// Ascending.
    pub members: Vec<u32>,
    pub certificate: Certificate,
    /// Without any one of them the rest can hold, and that was settled for each.
    pub proved_minimal: bool,
}

/// Members without which the rest holds.
#[derive(Clone, Debug)]
pub(super) struct Correction {
    /// Ascending.
    pub members: Vec<u32>,
    pub witness: Witness,
}

/// When to stop.
#[derive(Clone, Copy, Debug)]
pub(super) struct Quota {
    pub cores: usize,
    pub corrections: usize,
}

#[derive(Debug, Default)]
pub(super) struct Duals {
    pub cores: Vec<Core>,
    pub corrections: Vec<Correction>,
    /// These are all of both.
    pub complete: bool,
    pub met: Vec<Why>,
}

/// The hitting sets not asked about, those that hold, and those a limit was met at.
struct Map {
    open: Vec<Vec<u32>>,
    done: Vec<Vec<u32>>,
    cut: bool,
}

/// Enumerates both, asking first where `price` is least.
pub(super) fn enumerate(desk: &mut Desk, quota: Quota, price: impl Fn(&[u32]) -> i128) -> Duals {
    let all = desk.all();
    let mut duals = Duals::default();
    let mut map = Map {
        open: vec![Vec::new()],
        done: Vec::new(),
        cut: false,
    };
    let mut unnamed = all.clone();
    loop {
        let key = |set: &Vec<u32>| (price(set), set.len());
        let next = (0..map.open.len()).min_by(|&one, &other| {
            let (one, other) = (&map.open[one], &map.open[other]);
            key(one).cmp(&key(other)).then_with(|| one.cmp(other))
        });
        let Some(next) = next else { break };
        if duals.cores.len() >= quota.cores || duals.corrections.len() >= quota.corrections {
            map.cut = true;
            break;
        }
        let left_out = map.open.swap_remove(next);
        desk.lay(&unnamed);
        match desk.ask(&without(&all, &left_out)) {
            Told::Holds(witness) => {
                desk.near = witness.clone();
                map.done.push(left_out.clone());
                duals.corrections.push(Correction {
                    members: left_out,
                    witness,
                });
            }
            Told::Unsettled(why) => {
                note(&mut duals.met, why);
                map.done.push(left_out);
                if why == Why::Clock {
                    break;
                }
            }
            Told::Fails(refuted) => {
                let core = shrink(desk, refuted, &mut duals.met);
                unnamed = without(&unnamed, &core.members);
                // A core that could not be reduced may hold another one.
                duals
                    .cores
                    .retain(|it| it.proved_minimal || !is_within(&core.members, &it.members));
                duals.cores.push(core);
                map.open.push(left_out);
                map.meet(&duals.cores, &price);
            }
        }
    }
    duals.complete = !map.cut && duals.met.is_empty();
    duals
}

impl Map {
    /// Extends the hitting sets by the newest core. Those that hold meet it already.
    fn meet(&mut self, cores: &[Core], price: &impl Fn(&[u32]) -> i128) {
        let Some(newest) = cores.last() else { return };
        let met = |set: &[u32]| {
            set.iter()
                .any(|at| newest.members.binary_search(at).is_ok())
        };
        let (stay, missed): (Vec<_>, Vec<_>) = self.open.drain(..).partition(|set| met(set));
        self.open = stay;
        // One that a limit was met at may miss it; then it is no hitting set any more.
        self.done.retain(|set| met(set));
        for set in missed {
            for &member in &newest.members {
                let mut longer = set.clone();
                let place = longer.partition_point(|&at| at < member);
                longer.insert(place, member);
                if is_minimal(&longer, cores) && !self.done.contains(&longer) {
                    self.open.push(longer);
                }
            }
        }
        if self.open.len() > HITTING_SETS {
            self.cut = true;
            self.open
                .sort_by_cached_key(|set| (price(set), set.len(), set.clone()));
            self.open.truncate(HITTING_SETS / 2);
        }
    }
}

/// Whether each member alone meets some core.
fn is_minimal(set: &[u32], cores: &[Core]) -> bool {
    set.iter()
        .all(|member| critical(set, *member, cores).is_some())
}

/// A core that meets the set in this member alone, by its place.
pub(super) fn critical(set: &[u32], member: u32, cores: &[Core]) -> Option<usize> {
    cores.iter().position(|core| {
        core.members.binary_search(&member).is_ok()
            && set
                .iter()
                .all(|&at| at == member || core.members.binary_search(&at).is_err())
    })
}

/// Reduces members that fail to an irreducible conflict: what a proof does not use is gone, and
/// each of the rest is left out once.
pub(super) fn shrink(desk: &mut Desk, refuted: Refuted, met: &mut Vec<Why>) -> Core {
    let mut core = Core {
        members: refuted.members,
        certificate: refuted.certificate,
        proved_minimal: true,
    };
    let mut at = core.members.len();
    while at > 0 {
        at -= 1;
        let member = core.members[at];
        let mut fewer = core.members.clone();
        fewer.remove(at);
        match desk.ask(&fewer) {
            Told::Holds(_) => {}
            Told::Unsettled(why) => {
                note(met, why);
                core.proved_minimal = false;
            }
            Told::Fails(shorter) => {
                core.members = shorter.members;
                core.certificate = shorter.certificate;
                at = core.members.partition_point(|&it| it < member);
            }
        }
    }
    core
}
