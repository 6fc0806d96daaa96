//! A ledger of full size, and how long a person waits in it.
//!
//! usage: cargo xtask ledger scale [WHEELS [FOLDER]]
//!
//! It makes 100,000 wheels with four visits each, 25 readings a visit, in FOLDER or in one that goes again; then
//! it asks what a shop asks, as its pages and verbs ask it, each question many times over wheels spread through all
//! of them, and copies the ledger while readings are entered. Times are told beside what is wished, and decide nothing.

#![expect(
    clippy::disallowed_macros,
    clippy::disallowed_methods,
    reason = "a program for the person at the terminal, who wants to know how long it takes"
)]

#[path = "../../ledger/tests/shop/mod.rs"]
mod shop;

use ledger::{Access, Entry, Id, Label, Ledger, Place};
use std::error::Error;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};
use workshop::records::{CalledBack, Shop};

type Outcome<T> = Result<T, Box<dyn Error + Send + Sync>>;

/// Wheels, when no other number is asked for.
const WHEELS: u32 = 100_000;
/// Visits of each.
const VISITS: u32 = 4;
/// Readings of each visit, in one lap.
const READINGS: i64 = 25;
/// Wheels put in together while the ledger is made.
const TOGETHER: u32 = 20;
/// How often each question is asked.
const ASKED: u32 = 200;
/// Wheels whose rims are of one lot.
const A_LOT: u32 = 100;

#[tokio::main]
async fn main() -> Outcome<()> {
    let mut words = std::env::args().skip(1);
    let wheels: u32 = words.next().map_or(Ok(WHEELS), |word| word.parse())?;
    let given = words.next().map(PathBuf::from);
    let own = tempfile::tempdir()?;
    let folder = given.unwrap_or_else(|| own.path().into());
    let ledger = shop::open(&Place::Folder(folder.join("data"))).await;
    let from = Instant::now();
    let visits = made(&ledger, wheels).await?;
    println!(
        "{wheels} wheels, {} visits, {} readings made in {:.0} s",
        visits.len(),
        visits.len() as i64 * READINGS,
        from.elapsed().as_secs_f64()
    );
    ledger.close().await; // so that nothing is in its caches
    let ledger = shop::open(&Place::Folder(folder.join("data"))).await;
    let shop = Shop::open(ledger.place(), Access::Read).await?;
    println!(
        "{:<38} {:>9} {:>9} {:>9}",
        "", "median", "slowest", "wished"
    );
    let spread = |number: u32| (u64::from(number) * u64::from(wheels) / u64::from(ASKED)) as u32;
    let mut asked = Asked::new("find a wheel by its label", 50);
    for number in 0..ASKED {
        let label = Label::numbered(spread(number));
        asked
            .once(async { Ok(shop.find(label.as_str(), 20).await?.wheels.len()) })
            .await?;
    }
    asked.told();
    let mut asked = Asked::new("find a wheel by four of its label", 50);
    for number in 0..ASKED {
        let label = Label::numbered(spread(number));
        asked
            .once(async { Ok(shop.find(&label.as_str()[..4], 20).await?.wheels.len()) })
            .await?;
    }
    asked.told();
    let mut asked = Asked::new("find a wheel by its owner", 50);
    for number in 0..ASKED {
        let owner = owner(spread(number));
        asked
            .once(async { Ok(shop.find(&owner, 20).await?.wheels.len()) })
            .await?;
    }
    asked.told();
    let mut asked = Asked::new("find by a word that all have and one", 50);
    for number in 0..ASKED {
        let words = format!("rear {}", owner(spread(number)));
        asked
            .once(async { Ok(shop.find(&words, 20).await?.wheels.len()) })
            .await?;
    }
    asked.told();
    let mut asked = Asked::new("find a wheel by a lot", 50);
    for number in 0..ASKED {
        let lot = lot(spread(number));
        asked
            .once(async { Ok(shop.find(&lot, 20).await?.wheels.len()) })
            .await?;
    }
    asked.told();
    let mut asked = Asked::new("the shelf, page by page", 50);
    let mut after = None;
    for _ in 0..ASKED {
        let page = asked
            .once(async { Ok(shop.shelf(after, 50).await?) })
            .await?;
        after = page.1;
    }
    asked.told();
    let mut asked = Asked::new("open a visit", 50);
    for number in 0..ASKED {
        let place = u64::from(number) * visits.len() as u64 / u64::from(ASKED);
        let visit = visits[place as usize];
        let view = asked.once(async { Ok(shop.visit(visit).await?) }).await?;
        assert_eq!(view.laps[0].readings.len() as i64, READINGS);
    }
    asked.told();
    let mut asked = Asked::new("trace a lot to wheels and what was done", 200);
    for number in 0..ASKED {
        let lot = lot(spread(number));
        let called = CalledBack::Lots(lot.clone(), lot);
        let traced = asked
            .once(async { Ok(shop.trace("Fjordline", &called).await?.found) })
            .await?;
        assert!(traced.len() >= A_LOT.min(wheels) as usize);
        assert!(traced.iter().all(|one| one.done.len() as u32 == VISITS));
    }
    asked.told();
    copied(&ledger, &folder, visits[0]).await
}

fn owner(wheel: u32) -> String {
    // Letters that follow from the number, so that names begin in many ways.
    let hash = ledger::Hash::of(&wheel.to_le_bytes()).to_string();
    format!("o{}", &hash[..9])
}

fn lot(wheel: u32) -> String {
    format!("FL{}", wheel / A_LOT)
}

/// Makes the wheels; yields the visits.
async fn made(ledger: &Ledger, wheels: u32) -> Outcome<Vec<Id>> {
    let mut visits = Vec::new();
    let mut first = 0;
    while first < wheels {
        let mut entries = Vec::new();
        for number in first..(first + TOGETHER).min(wheels) {
            one(ledger, number, &mut entries, &mut visits);
        }
        ledger.take_over(entries).await?;
        first += TOGETHER;
    }
    Ok(visits)
}

/// A wheel with all that is about it.
fn one(ledger: &Ledger, number: u32, entries: &mut Vec<Entry>, visits: &mut Vec<Id>) {
    let minutes = i64::from(number);
    let now = shop::stamp(minutes);
    let mut put = |body: ledger::Body| {
        let id = ledger.next_id(now.at);
        entries.push(Entry::new(id, &now, body));
        id
    };
    let wheel = put(shop::wheel(Label::numbered(number), "rear", &owner(number)).into());
    let mut rim = shop::part(wheel, "rim", "Fjordline", Some(&format!("F{number}")));
    rim.lot = Some(lot(number));
    put(rim.into());
    for visited in 0..VISITS {
        let visit = put(shop::visit(wheel, minutes + i64::from(visited)).into());
        let lap = put(shop::lap(visit, None).into());
        for reading in 1..=READINGS {
            put(shop::reading(lap, reading, "22,5").into());
        }
        visits.push(visit);
    }
}

/// Copies the ledger while somebody enters readings, and tells how long those waited meanwhile.
async fn copied(ledger: &Ledger, folder: &Path, visit: Id) -> Outcome<()> {
    let copying = Arc::new(AtomicBool::new(true));
    let hand = {
        let (ledger, copying) = (ledger.clone(), Arc::clone(&copying));
        tokio::spawn(async move {
            let now = shop::stamp(0);
            let lap = shop::put(&ledger, &now, shop::lap(visit, None)).await;
            let mut waits = Vec::new();
            while copying.load(Ordering::Relaxed) {
                let from = Instant::now();
                shop::put(&ledger, &now, shop::reading(lap, 1, "22,5")).await;
                waits.push(from.elapsed());
            }
            waits
        })
    };
    let from = Instant::now();
    let health = ledger.backup(&folder.join("backup")).await;
    let took = from.elapsed();
    copying.store(false, Ordering::Relaxed);
    let mut waits = hand.await?;
    waits.sort();
    let health = health?;
    println!(
        "\na copy of {} entries, looked through: {:.0} s; meanwhile {} readings were entered,\n\
         each flushed after {} (median), {} at most",
        health.entries,
        took.as_secs_f64(),
        waits.len(),
        milliseconds(waits[waits.len() / 2]),
        milliseconds(waits[waits.len() - 1]),
    );
    let size = std::fs::metadata(folder.join("backup/rimwright.sqlite3"))?.len();
    println!("size of the copy: {:.2} GB", size as f64 / 1e9);
    Ok(())
}

/// A question and how long its answers took.
struct Asked {
    what: &'static str,
    wished: Duration,
    took: Vec<Duration>,
}

impl Asked {
    fn new(what: &'static str, wished_ms: u64) -> Self {
        let wished = Duration::from_millis(wished_ms);
        let took = Vec::new();
        Self { what, wished, took }
    }

    async fn once<T>(&mut self, question: impl Future<Output = Outcome<T>>) -> Outcome<T> {
        let from = Instant::now();
        let answer = question.await;
        self.took.push(from.elapsed());
        answer
    }

    fn told(mut self) {
        self.took.sort();
        let (median, slowest) = (
            self.took[self.took.len() / 2],
            self.took[self.took.len() - 1],
        );
        println!(
            "{:<38} {:>9} {:>9} {:>9}",
            self.what,
            milliseconds(median),
            milliseconds(slowest),
            milliseconds(self.wished)
        );
    }
}

fn milliseconds(time: Duration) -> String {
    format!("{:.1} ms", time.as_secs_f64() * 1e3)
}
