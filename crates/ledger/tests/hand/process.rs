//! Another process, for the tests: it writes, or says why it cannot.
//!
//! usage: ledger-hand FOLDER [COUNT]
//!
//! It takes readings of one lap after the other as fast as it can, until it is killed or has entered COUNT. A
//! line is written for each reading that was acknowledged.

#[path = "../shop/mod.rs"]
mod shop;

use ledger::{Access, Entry, Label, Ledger, Place};
use std::io::Write;
use std::process::ExitCode;

/// Readings on their way at once, as from several tablets.
const AT_ONCE: usize = 3;

#[tokio::main]
async fn main() -> ExitCode {
    match work().await {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            let _ = writeln!(std::io::stderr(), "{why}");
            ExitCode::FAILURE
        }
    }
}

async fn work() -> Result<(), Box<dyn std::error::Error>> {
    let mut words = std::env::args().skip(1);
    let folder = words.next().ok_or("which folder?")?;
    let count: usize = words.next().map_or(Ok(usize::MAX), |word| word.parse())?;
    let ledger = Ledger::open(&Place::Folder(folder.into()), Access::Write).await?;
    let now = shop::stamp(0);
    let [wheel, visit] = [(); 2].map(|()| ledger.next_id(now.at));
    let label: Label = ledger.free_label(now.at).await?;
    let before = vec![
        Entry::new(wheel, &now, shop::wheel(label, "rear", "Ines")),
        Entry::new(visit, &now, shop::visit(wheel, 0)),
    ];
    ledger.append(before).await?;
    let mut entered = 0;
    while entered < count {
        let lap = ledger.next_id(now.at);
        ledger
            .append(vec![Entry::new(lap, &now, shop::lap(visit, None))])
            .await?;
        for number in (1..=24).step_by(AT_ONCE) {
            let mut hands = Vec::new();
            for number in number..number + AT_ONCE as i64 {
                let (ledger, id) = (ledger.clone(), ledger.next_id(now.at));
                let reading = Entry::new(id, &now, shop::reading(lap, number, "22,5"));
                let hand = async move { ledger.append(vec![reading]).await };
                hands.push((id, tokio::spawn(hand)));
            }
            for (id, hand) in hands {
                hand.await??;
                let mut out = std::io::stdout().lock();
                writeln!(out, "{id}")?;
                out.flush()?;
                entered += 1;
            }
        }
    }
    ledger.close().await;
    Ok(())
}
