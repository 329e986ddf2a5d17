//! Where an album is worked out: beside the typing, the newest text first; an older one is dropped.
//!
//! One thread finds the sizes, another what would mend or keep a wish and then the sheets, which takes
//! longer; a third answers questions. Each has a flag that stops what it does when something newer waits.

use super::ask::{Asked, Question, dealt};
use super::read::{Facts, Reading, sentence, slips_of};
use super::sight::Slip;
use crate::album::{Album, PhotosIn};
use crate::arrange::Photo;
use crate::arrange::cropped::cropped;
use crate::cut::{Order, offcuts, pieces, work as cutting};
use crate::explain::watch::{Remedy, remedies};
use crate::explain::{Explanation, fixes};
use crate::plan::work::{Outcome, work_laid};
use crate::plan::{Listed, Plan};
use crate::program::expand::Expanded;
use crate::report::cut::{Verdict, verdict};
use crate::shop::short::{self, Short};
use crate::solve::Limits;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::time::Duration;

/// What is worked out beside the sizes begins this long after them: the browser shows them first.
const REST: Duration = Duration::from_millis(60);
/// After this time the best sizes so far stand.
const FIT: Duration = Duration::from_secs(20);
/// The same for what mends it.
const MEND: Duration = Duration::from_secs(20);
/// The same for the sheets.
const CUT: Duration = Duration::from_secs(60);
/// The same for what is asked.
const ASK: Duration = Duration::from_secs(20);

/// An album's text to be worked out.
pub struct Job {
    pub version: u64,
    pub reading: Arc<Reading>,
    pub expanded: Expanded,
}

/// How an album is cut.
#[derive(Debug)]
pub struct Counted {
    pub order: Order,
    pub batches: Vec<cutting::Batch>,
    pub left: Vec<offcuts::Left>,
    /// Where the sheets are not enough: for how many albums they are.
    pub enough_for: Option<u64>,
    /// What is needed and not there.
    pub short: Vec<Short>,
}

/// What a bench has to say.
pub enum Found {
    Worked(Arc<Facts>),
    /// Its style says falsely where things lie.
    Wrong(u64, Vec<Slip>),
    Why(u64, Explanation),
    Remedies(u64, Vec<Remedy>),
    Counting {
        version: u64,
        best: Option<u64>,
        least: u64,
    },
    Counted(u64, Arc<Counted>),
    Answered(u64, Asked),
    /// It cannot be cut.
    Uncut(u64, Vec<String>),
    /// A defect of this program.
    Broken(u64),
}

/// The newest job, and whoever waits for one.
struct Newest<J> {
    job: Mutex<Option<J>>,
    bell: Condvar,
    closed: AtomicBool,
    stop: &'static AtomicBool,
}

impl<J> Newest<J> {
    fn new() -> Newest<J> {
        Newest {
            job: Mutex::new(None),
            bell: Condvar::new(),
            closed: AtomicBool::new(false),
            // Limits hold a flag that lives for ever. A server makes two of them.
            stop: Box::leak(Box::new(AtomicBool::new(false))),
        }
    }

    /// Stops what is done, and has this done next.
    fn put(&self, job: J) {
        let mut waiting = self.job.lock().unwrap_or_else(PoisonError::into_inner);
        *waiting = Some(job);
        self.stop.store(true, Ordering::SeqCst);
        self.bell.notify_one();
    }

    /// Waits for a job; `None` if there will be none.
    fn take(&self) -> Option<J> {
        let mut waiting = self.job.lock().unwrap_or_else(PoisonError::into_inner);
        loop {
            if self.closed.load(Ordering::SeqCst) {
                return None;
            }
            if let Some(job) = waiting.take() {
                self.stop.store(false, Ordering::SeqCst);
                return Some(job);
            }
            let woken = self.bell.wait(waiting);
            waiting = woken.unwrap_or_else(PoisonError::into_inner);
        }
    }

    /// Waits this long; whether something newer came.
    fn is_old_after(&self, time: Duration) -> bool {
        let waiting = self.job.lock().unwrap_or_else(PoisonError::into_inner);
        let quiet = |job: &mut Option<J>| job.is_none() && !self.closed.load(Ordering::SeqCst);
        let waited = self.bell.wait_timeout_while(waiting, time, quiet);
        !waited.unwrap_or_else(PoisonError::into_inner).1.timed_out()
    }

    /// Whether something newer waits.
    fn is_old(&self) -> bool {
        let waiting = self.job.lock().unwrap_or_else(PoisonError::into_inner);
        waiting.is_some() || self.closed.load(Ordering::SeqCst)
    }

    fn close(&self) {
        let _waiting = self.job.lock().unwrap_or_else(PoisonError::into_inner);
        self.closed.store(true, Ordering::SeqCst);
        self.stop.store(true, Ordering::SeqCst);
        self.bell.notify_all();
    }

    fn limits(&self, time: Duration) -> Limits {
        Limits {
            stop: Some(self.stop),
            ..Limits::lasting(time)
        }
    }
}

/// The threads. Dropped, they end.
pub struct Bench {
    front: Arc<Newest<Job>>,
    back: Arc<Newest<Arc<Facts>>>,
    side: Arc<Newest<(Arc<Facts>, Question)>>,
    albums: Arc<AtomicU64>,
}

impl Drop for Bench {
    fn drop(&mut self) {
        self.front.close();
        self.back.close();
        self.side.close();
    }
}

impl Bench {
    /// Starts the threads; what they find goes to `tell`.
    pub fn new(tell: impl Fn(Found) + Send + Sync + 'static) -> Bench {
        let tell: Arc<dyn Fn(Found) + Send + Sync> = Arc::new(tell);
        let front = Arc::new(Newest::<Job>::new());
        let back = Arc::new(Newest::<Arc<Facts>>::new());
        let (jobs, next, told) = (Arc::clone(&front), Arc::clone(&back), Arc::clone(&tell));
        std::thread::spawn(move || {
            while let Some(job) = jobs.take() {
                let version = job.version;
                let limits = jobs.limits(FIT);
                let found = catch_unwind(AssertUnwindSafe(|| sizes(job, &limits)));
                match found {
                    _ if jobs.is_old() => {}
                    Ok(Err(slips)) => told(Found::Wrong(version, slips)),
                    Ok(Ok(facts)) => {
                        told(Found::Worked(Arc::clone(&facts)));
                        next.put(facts);
                    }
                    Err(_) => told(Found::Broken(version)),
                }
            }
        });
        let side = Arc::new(Newest::<(Arc<Facts>, Question)>::new());
        let (jobs, told) = (Arc::clone(&side), Arc::clone(&tell));
        std::thread::spawn(move || {
            while let Some((facts, question)) = jobs.take() {
                let limits = jobs.limits(ASK);
                let found = catch_unwind(AssertUnwindSafe(|| question.answer(&facts, &limits)));
                match found {
                    _ if jobs.is_old() => {}
                    Ok(asked) => told(Found::Answered(facts.version, asked)),
                    Err(_) => told(Found::Broken(facts.version)),
                }
            }
        });
        let albums = Arc::new(AtomicU64::new(1));
        let (jobs, copies) = (Arc::clone(&back), Arc::clone(&albums));
        std::thread::spawn(move || {
            while let Some(facts) = jobs.take() {
                if jobs.is_old_after(REST) {
                    continue;
                }
                let found = catch_unwind(AssertUnwindSafe(|| {
                    mended(&facts, &jobs, &*tell);
                    if !jobs.is_old() {
                        cut(&facts, copies.load(Ordering::SeqCst), &jobs, &*tell);
                    }
                }));
                if found.is_err() {
                    tell(Found::Broken(facts.version));
                }
            }
        });
        Bench {
            front,
            back,
            side,
            albums,
        }
    }

    /// Has a text worked out; whatever is worked on is dropped.
    pub fn put(&self, job: Job) {
        self.back.stop.store(true, Ordering::SeqCst);
        self.side.stop.store(true, Ordering::SeqCst);
        self.front.put(job);
    }

    /// From here on the sheets are counted for this number of albums.
    pub fn count_for(&self, albums: u64, facts: Option<Arc<Facts>>) {
        self.albums.store(albums, Ordering::SeqCst);
        if let Some(facts) = facts {
            self.back.put(facts);
        }
    }

    /// Answers a question; one before it is dropped.
    pub fn ask(&self, facts: Arc<Facts>, question: Question) {
        self.side.put((facts, question));
    }

    /// Nobody waits for the answer any more.
    pub fn stop_asking(&self) {
        self.side.stop.store(true, Ordering::SeqCst);
    }

    /// Ends the count of sheets with the best so far.
    pub fn stop_counting(&self) {
        self.back.stop.store(true, Ordering::SeqCst);
    }
}

fn sizes(job: Job, limits: &Limits) -> Result<Arc<Facts>, Vec<Slip>> {
    let Job {
        version,
        reading,
        expanded,
    } = job;
    let worked = work_laid(
        (&reading.style, &reading.album),
        expanded,
        // Whoever prints the rule book asks for all of them.
        Listed::NotKept,
        limits,
    );
    let mut worked = worked.map_err(|errors| slips_of(&reading.files, reading.own, &errors))?;
    if let (Outcome::Fits(plan), Some(photos)) = (&mut worked.outcome, &reading.album.photos) {
        // Those beside the album are read only when the page is asked for them.
        if let PhotosIn::Here(all) = &photos.from {
            let photos: Vec<Photo> = all.iter().map(Photo::named).collect();
            plan.cropped = cropped(&reading.album, plan, &photos, &|| limits.is_over());
        }
    }
    Ok(Arc::new(Facts {
        version,
        reading,
        worked,
    }))
}

fn mended(facts: &Facts, jobs: &Newest<Arc<Facts>>, tell: &dyn Fn(Found)) {
    let Reading { album, style, .. } = &*facts.reading;
    let limits = jobs.limits(MEND);
    let found = match facts.worked.outcome {
        Outcome::Clash(_) => {
            let why = fixes::why(style, album, &facts.worked, &limits);
            Found::Why(facts.version, why)
        }
        Outcome::Fits(_) => {
            let found = remedies(style, album, &facts.worked, &limits);
            Found::Remedies(facts.version, found)
        }
        _ => return,
    };
    if !jobs.is_old() {
        tell(found);
    }
}

fn cut(
    facts: &Facts,
    albums: u64,
    jobs: &Newest<Arc<Facts>>,
    tell: &(dyn Fn(Found) + Send + Sync),
) {
    let Outcome::Fits(plan) = &facts.worked.outcome else {
        return;
    };
    let version = facts.version;
    let ruler = facts.reading.album.ruler;
    let album = facts.reading.album.by_design();
    let made = pieces::Made::of(plan, &album, albums);
    let (order, _) = dealt(made, &jobs.limits(FIT));
    if order.wants.is_empty() {
        let (batches, left) = (Vec::new(), Vec::new());
        let counted = Counted {
            short: short::of_plans(made, order.clone(), []),
            order,
            batches,
            left,
            enough_for: None,
        };
        tell(Found::Counted(version, Arc::new(counted)));
        return;
    }
    let told = |told: cutting::Told<'_>| {
        if !told.keeps && !jobs.is_old() {
            tell(Found::Counting {
                version,
                best: told.sheets,
                least: told.least,
            });
        }
    };
    let found = cutting::work(
        &order,
        None,
        ruler,
        &cutting::Patience {
            told: Some(&told),
            ..cutting::Patience::lasting(CUT, Some(jobs.stop))
        },
    );
    if jobs.is_old() {
        return;
    }
    tell(match found {
        Ok(batches) => {
            let left = offcuts::left(&order, &batches, ruler);
            let is_short = verdict(&batches) == Verdict::NotEnough;
            let enough_for = is_short.then(|| enough_for(plan, &album, albums, jobs.stop));
            let few = batches.iter().filter(|it| it.ways[it.chosen].not_enough);
            let few = few.filter_map(|it| it.with_more.as_deref());
            let counted = Counted {
                short: short::of_plans(made, order.clone(), few),
                order,
                batches,
                left,
                enough_for,
            };
            Found::Counted(version, Arc::new(counted))
        }
        Err(cutting::WorkError::Faults(faults)) => {
            let sentences = faults.iter().map(|fault| sentence(&fault.to_string()));
            Found::Uncut(version, sentences.collect())
        }
        Err(cutting::WorkError::Defect(_)) => Found::Broken(version),
    });
}

/// For how many albums, fewer than these, the sheets at hand are enough.
fn enough_for(plan: &Plan, album: &Album, albums: u64, stop: &'static AtomicBool) -> u64 {
    let patience = cutting::Patience::lasting(MEND / 8, Some(stop));
    // What is enough for some is enough for fewer.
    let (mut some, mut too_many) = (0, albums);
    while too_many - some > 1 {
        let middle = some + (too_many - some) / 2;
        let made = pieces::Made::of(plan, album, middle);
        let limits = Limits {
            stop: Some(stop),
            ..Limits::lasting(MEND / 8)
        };
        let found = cutting::work(&dealt(made, &limits).0, None, album.ruler, &patience);
        let enough = |batches: &Vec<cutting::Batch>| {
            matches!(verdict(batches), Verdict::Proved | Verdict::Found)
        };
        match found.as_ref().is_ok_and(enough) {
            true => some = middle,
            false => too_many = middle,
        }
    }
    some
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_newest_job_stops_the_one_before() {
        let newest = Newest::new();
        newest.put(1);
        assert_eq!(newest.take(), Some(1));
        assert!(!newest.stop.load(Ordering::SeqCst) && !newest.is_old());
        newest.put(2);
        newest.put(3);
        assert!(newest.stop.load(Ordering::SeqCst) && newest.is_old());
        assert_eq!(newest.take(), Some(3));
        assert!(!newest.stop.load(Ordering::SeqCst));
        newest.close();
        assert_eq!(newest.take(), None);
        assert!(newest.stop.load(Ordering::SeqCst));
    }
}
