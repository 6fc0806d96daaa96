//! The one hand that writes: a queue, and groups of requests that share one flush.

use crate::append::seen::is_as_seen;
use crate::append::{Finding, Receipt, Refusal, Seen, append};
use crate::entry::Entry;
use crate::id::{Id, Moment};
use crate::listen;
use crate::read;
use crate::store::postgres::Server;
use crate::store::sqlite::Writable;
use crate::store::{Connection, Trouble};
use sqlx::{Connection as _, PgConnection, SqliteConnection};
use std::fs::File;
use std::sync::Arc;
use tokio::sync::{broadcast, mpsc, oneshot};

/// Requests in one transaction: enough for a shop full of tablets, few enough to be flushed at once.
const GROUP: usize = 256;
/// Requests that may wait; whoever comes then waits for a place.
pub(crate) const QUEUE: usize = 1024;
/// A clock may be read this much earlier than the newest entry: tablets wait in a queue, and the clocks of
/// several workshops differ by less.
const CLOCK_MAY_LAG_MICROS: i64 = 5_000_000;

/// Where entries come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Coming {
    /// They were made just now, by the clock of this machine.
    Now,
    /// They were made at some time, and are taken over.
    FromElsewhere,
}

/// What is asked of the hand that writes.
#[derive(Debug)]
pub(crate) enum Asked {
    /// To put entries in.
    Put(Request),
    /// To end after what came before.
    End,
}

/// Entries to be put in together, and where the answer goes.
#[derive(Debug)]
pub(crate) struct Request {
    pub(crate) entries: Vec<Entry>,
    pub(crate) coming: Coming,
    /// What they rest on, when they may not be put in unless it still stands.
    pub(crate) seen: Option<Seen>,
    pub(crate) answer: oneshot::Sender<Result<Receipt, Refusal>>,
}

/// The connection that writes.
#[derive(Debug)]
pub(crate) enum Hand {
    /// To the file, with the lock that no other process holds meanwhile.
    Sqlite {
        connection: Box<SqliteConnection>,
        _lock: File,
    },
    /// To the server, and the way back to it when it was lost.
    Postgres {
        connection: Box<PgConnection>,
        server: Box<Server>,
        /// As whom this process tells others what it put in.
        sender: Id,
    },
}

impl From<Writable> for Hand {
    fn from(Writable { connection, lock }: Writable) -> Self {
        Self::Sqlite {
            connection: Box::new(connection),
            _lock: lock,
        }
    }
}

impl Hand {
    /// The hand that writes to a server.
    pub(crate) fn of(connection: PgConnection, server: &Server, sender: Id) -> Self {
        Self::Postgres {
            connection: Box::new(connection),
            server: Box::new(server.clone()),
            sender,
        }
    }

    fn connection(&mut self) -> Connection<'_> {
        match self {
            Self::Sqlite { connection, .. } => Connection::Sqlite(connection),
            Self::Postgres { connection, .. } => Connection::Postgres(connection),
        }
    }

    /// How a transaction that will write begins: SQLite takes its lock at once, so that none fails half way.
    fn begin(&self) -> &'static str {
        match self {
            Self::Sqlite { .. } => "BEGIN IMMEDIATE",
            Self::Postgres { .. } => "BEGIN",
        }
    }

    /// Leaves a transaction that failed, and finds the way back to a server that was lost.
    async fn recover(&mut self) {
        let lost = self
            .connection()
            .run("ROLLBACK".into(), vec![])
            .await
            .is_err();
        if let (
            true,
            Self::Postgres {
                connection, server, ..
            },
        ) = (lost, self)
            && let Ok(anew) = server.connect().await
        {
            **connection = anew;
        }
    }

    async fn close(self) {
        // What was acknowledged is flushed; a connection that cannot say goodbye loses nothing.
        let _ = match self {
            Self::Sqlite { connection, .. } => connection.close().await,
            Self::Postgres { connection, .. } => connection.close().await,
        };
    }
}

/// Writes what comes through the queue until it is asked to end, or nobody can ask any more.
pub(crate) async fn write(
    mut hand: Hand,
    mut queue: mpsc::Receiver<Asked>,
    feed: broadcast::Sender<Arc<[Entry]>>,
) {
    let mut ends = false;
    while !ends {
        let Some(Asked::Put(first)) = queue.recv().await else {
            break;
        };
        let mut group = vec![first];
        while group.len() < GROUP && !ends {
            match queue.try_recv() {
                Ok(Asked::Put(next)) => group.push(next),
                Ok(Asked::End) => ends = true,
                Err(_) => break,
            }
        }
        match together(&mut hand, &group).await {
            Ok(ended) => {
                for (request, ended) in group.into_iter().zip(ended) {
                    tell(request, ended, &feed);
                }
            }
            // One of them met the end of the disk, or another process was quicker: each for itself.
            Err(_) => {
                for request in group {
                    let ended = alone(&mut hand, &request).await;
                    tell(request, ended, &feed);
                }
            }
        }
    }
    hand.close().await;
}

/// The entries of one request that are new, with their receipt.
type Ended = Result<(Vec<Entry>, Receipt), Refusal>;

fn tell(request: Request, ended: Ended, feed: &broadcast::Sender<Arc<[Entry]>>) {
    let answer = ended.map(|(fresh, receipt)| {
        if !fresh.is_empty() {
            let _ = feed.send(fresh.into()); // nobody may be listening
        }
        receipt
    });
    let _ = request.answer.send(answer); // whoever asked may have gone
}

/// One request in a transaction of its own. A second try finds out who was quicker, and takes what reached
/// the server before the connection broke for what it is.
async fn alone(hand: &mut Hand, request: &Request) -> Ended {
    let request = std::slice::from_ref(request);
    let mut ended = together(hand, request).await;
    if let Err(Trouble::Twice { .. } | Trouble::Unreachable { .. }) = ended {
        ended = together(hand, request).await;
    }
    let only = ended?.pop();
    only.unwrap_or(Err(Refusal::Store(Trouble::Closed)))
}

/// All requests of a group in one transaction, each all or not at all.
///
/// # Errors
/// When the store refuses: then none of them was written.
async fn together(hand: &mut Hand, group: &[Request]) -> Result<Vec<Ended>, Trouble> {
    let ended = attempt(hand, group).await;
    if ended.is_err() {
        hand.recover().await;
    }
    ended
}

async fn attempt(hand: &mut Hand, group: &[Request]) -> Result<Vec<Ended>, Trouble> {
    let begin = hand.begin();
    let sender = match hand {
        Hand::Sqlite { .. } => None,
        Hand::Postgres { sender, .. } => Some(*sender),
    };
    let mut connection = hand.connection();
    connection.run(begin.into(), vec![]).await?;
    let mut newest = read::newest(&mut connection).await?;
    let mut all: Vec<Ended> = Vec::new();
    for request in group {
        connection.run("SAVEPOINT request".into(), vec![]).await?;
        let ended = match put_in(&mut connection, request).await {
            Err(Refusal::Store(trouble)) => return Err(trouble),
            ended => ended,
        };
        let leave = match ended {
            Ok(_) => "RELEASE SAVEPOINT request",
            Err(_) => "ROLLBACK TO SAVEPOINT request",
        };
        connection.run(leave.into(), vec![]).await?;
        all.push(ended.map(|fresh| {
            let receipt = receipt(request, &fresh, newest);
            let last = fresh.iter().map(|entry| (entry.id, entry.stamp.at)).max();
            newest = newest.max(last);
            (fresh, receipt)
        }));
    }
    if let Some(sender) = sender {
        let fresh = all.iter().flatten().flat_map(|(fresh, _)| fresh);
        let ids: Vec<Id> = fresh.map(|entry| entry.id).collect();
        listen::tell(&mut connection, sender, &ids).await?;
    }
    connection.run("COMMIT".into(), vec![]).await?;
    Ok(all)
}

/// Puts the entries of a request in, unless what they rest on changed; what is there already is left as it is.
async fn put_in(connection: &mut Connection<'_>, request: &Request) -> Result<Vec<Entry>, Refusal> {
    let changed = match request.seen {
        Some(seen) if !is_as_seen(connection, seen).await? => Some(seen.thing()),
        _ => None,
    };
    let fresh = append(connection, &request.entries).await?;
    match changed {
        Some(thing) if !fresh.is_empty() => Err(Refusal::NotAsSeen { thing }),
        _ => Ok(fresh),
    }
}

fn receipt(request: &Request, fresh: &[Entry], newest: Option<(Id, Moment)>) -> Receipt {
    let earliest = fresh.iter().map(|entry| entry.stamp.at).min();
    let findings = match (request.coming, newest, earliest) {
        (Coming::Now, Some((_, newest)), Some(told))
            if told.to_micros() < newest.to_micros() - CLOCK_MAY_LAG_MICROS =>
        {
            vec![Finding::ClockBehind { newest, told }]
        }
        _ => Vec::new(),
    };
    Receipt {
        written: fresh.len(),
        known: request.entries.len() - fresh.len(),
        findings,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::entry::{Origin, Setting, Stamp};
    use crate::id::Ids;
    use crate::store::sqlite;

    struct Desk {
        folder: tempfile::TempDir,
        ids: Ids,
    }

    impl Desk {
        fn new() -> Self {
            Self {
                folder: tempfile::tempdir().expect("a folder"),
                ids: Ids::new(),
            }
        }

        fn setting(&self, length: usize) -> Entry {
            let at = Moment::from_micros(1_772_616_000_000_000);
            let stamp = Stamp {
                at,
                zone: "UTC".into(),
                by: "M".into(),
                origin: Origin::Shop,
            };
            let setting = Setting {
                key: "note".into(),
                value: "a".repeat(length),
            };
            Entry::new(self.ids.next(at), &stamp, setting)
        }

        /// Hands requests in before anybody writes, so that they make one group; then lets the hand write.
        async fn all_at_once(
            &self,
            pages: u32,
            requests: Vec<Vec<Entry>>,
        ) -> Vec<Result<Receipt, Refusal>> {
            let mut writable = sqlite::writable(self.folder.path())
                .await
                .expect("to be written");
            let few = format!("PRAGMA max_page_count = {pages}");
            let mut connection = Connection::Sqlite(&mut writable.connection);
            connection.run(few, vec![]).await.expect("set");
            let (queue, waiting) = mpsc::channel(QUEUE);
            let (feed, _) = broadcast::channel(QUEUE);
            let mut answers = Vec::new();
            for entries in requests {
                let (answer, answered) = oneshot::channel();
                let request = Request {
                    entries,
                    coming: Coming::Now,
                    seen: None,
                    answer,
                };
                queue.send(Asked::Put(request)).await.expect("queued");
                answers.push(answered);
            }
            queue.send(Asked::End).await.expect("queued");
            write(writable.into(), waiting, feed).await;
            let mut ended = Vec::new();
            for answer in answers {
                ended.push(answer.await.expect("answered"));
            }
            ended
        }
    }

    const PLENTY: u32 = 1_000_000;

    #[tokio::test]
    async fn failed_request_does_not_fail_its_neighbours() {
        let desk = Desk::new();
        let [a, b, c] = [(); 3].map(|()| desk.setting(3));
        let mut changed = a.clone();
        changed.stamp.by = "K".into();
        let requests = vec![vec![a.clone()], vec![b.clone(), changed], vec![c], vec![a]];
        let ended = desk.all_at_once(PLENTY, requests).await;
        let written: Vec<_> = ended
            .iter()
            .map(|end| end.as_ref().ok().map(|r| r.written))
            .collect();
        assert_eq!(written, [Some(1), None, Some(1), Some(0)]);
        assert!(matches!(ended[1], Err(Refusal::OtherContent { .. })));
        let again = desk.all_at_once(PLENTY, vec![vec![b]]).await;
        assert_eq!(
            again[0].as_ref().map(|r| r.written),
            Ok(1),
            "all of a request or none of it"
        );
    }

    #[tokio::test]
    async fn request_that_fills_the_disk_fails_alone() {
        let desk = Desk::new();
        let small = [(); 3].map(|()| desk.setting(3));
        let [a, b, c] = small.clone();
        let large = desk.setting(8_000_000);
        let requests = vec![vec![a], vec![large.clone()], vec![b], vec![c]];
        let pages = 400; // of 4096 bytes: the tables take about 200 when empty
        let ended = desk.all_at_once(pages, requests).await;
        assert!(
            matches!(ended[1], Err(Refusal::Store(Trouble::Full { .. }))),
            "{ended:?}"
        );
        for place in [0, 2, 3] {
            assert_eq!(ended[place].as_ref().map(|r| r.written), Ok(1));
        }
        let again = desk
            .all_at_once(PLENTY, vec![small.to_vec(), vec![large]])
            .await;
        assert_eq!(
            again[0].as_ref().map(|r| r.known),
            Ok(3),
            "what was acknowledged is there"
        );
        assert_eq!(
            again[1].as_ref().map(|r| r.written),
            Ok(1),
            "with room it goes in"
        );
    }

    #[tokio::test]
    async fn readings_that_arrive_together_share_one_flush() {
        let desk = Desk::new();
        let mut hand: Hand = sqlite::writable(desk.folder.path())
            .await
            .expect("to be written")
            .into();
        let commits = || {
            // Every commit ends in a frame of the log that says how large the database is; others say 0.
            let log =
                std::fs::read(desk.folder.path().join("rimwright.sqlite3-wal")).expect("the log");
            let frames = log[32..].chunks(24 + 4096);
            frames.filter(|frame| frame[4..8] != [0; 4]).count()
        };
        let before = commits();
        let group: Vec<Request> = (0..40)
            .map(|_| Request {
                entries: vec![desk.setting(3)],
                coming: Coming::Now,
                seen: None,
                answer: oneshot::channel().0,
            })
            .collect();
        let ended = together(&mut hand, &group).await.expect("written");
        assert!(ended.iter().all(Result::is_ok));
        assert_eq!(commits() - before, 1);
    }
}
