//! One question asked of many variants, on all cores.

use std::num::NonZeroUsize;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc;
use std::thread;

/// The answer to every variant, in the order of the variants, on as many threads as there are cores.
///
/// `heard` is called on the caller's thread after each answer with how many are done. The answers do
/// not depend on the number of threads.
pub fn sweep<V: Sync, A: Send>(
    variants: &[V],
    answer: impl Fn(&V) -> A + Sync,
    heard: impl FnMut(usize),
) -> Vec<A> {
    let cores = thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
    sweep_on(cores, variants, answer, heard)
}

/// As [`sweep`], on at most this many threads.
pub fn sweep_on<V: Sync, A: Send>(
    threads: NonZeroUsize,
    variants: &[V],
    answer: impl Fn(&V) -> A + Sync,
    mut heard: impl FnMut(usize),
) -> Vec<A> {
    let next = AtomicUsize::new(0);
    let mut answers = Vec::with_capacity(variants.len());
    thread::scope(|scope| {
        let (sender, receiver) = mpsc::channel();
        for _ in 0..threads.get().min(variants.len()) {
            let (sender, next, answer) = (sender.clone(), &next, &answer);
            scope.spawn(move || {
                // Whoever is free takes the next one: variants may differ in how long they take.
                while let Some((place, variant)) = {
                    let place = next.fetch_add(1, Ordering::Relaxed);
                    variants.get(place).map(|variant| (place, variant))
                } {
                    if sender.send((place, answer(variant))).is_err() {
                        return; // nobody listens any more
                    }
                }
            });
        }
        drop(sender);
        for one in receiver {
            answers.push(one);
            heard(answers.len());
        }
    });
    answers.sort_unstable_by_key(|(place, _)| *place);
    answers.into_iter().map(|(_, answer)| answer).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn on(threads: usize, heard: impl FnMut(usize)) -> Vec<u64> {
        let variants: Vec<u64> = (0..200).collect();
        // Late variants are quick ones, so that answers arrive out of order.
        let answer = |variant: &u64| {
            (0..(200 - variant) * 50).fold(*variant, |sum, step| sum.wrapping_mul(31) ^ step)
        };
        let threads = NonZeroUsize::new(threads).expect("some thread");
        sweep_on(threads, &variants, answer, heard)
    }

    #[test]
    fn answers_stand_in_the_order_of_the_variants_however_many_threads_gave_them() {
        let alone = on(1, |_| ());
        assert_eq!(alone.len(), 200);
        for threads in [2, 7, 300] {
            assert_eq!(on(threads, |_| ()), alone);
        }
    }

    #[test]
    fn progress_rises_one_by_one() {
        let mut heard = Vec::new();
        on(3, |done| heard.push(done));
        assert_eq!(heard, (1..=200).collect::<Vec<_>>());
    }

    #[test]
    fn no_variant_gives_no_answer() {
        assert!(sweep(&[] as &[u8], |one| *one, |_| ()).is_empty());
    }
}
