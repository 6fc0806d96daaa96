//! What other workshops put in: PostgreSQL tells of it as soon as it is committed.

use crate::entry::Entry;
use crate::id::{Id, Ids};
use crate::read;
use crate::store::{Connection, Trouble};
use sqlx::PgPool;
use sqlx::postgres::PgListener;
use std::sync::Arc;
use std::time::Duration;
use tokio::sync::broadcast;

/// The channel on which it is told.
const CHANNEL: &str = "rimwright_entries";

/// Ids in one message: PostgreSQL takes 8000 bytes, and an id has 36 characters and a blank.
const IDS: usize = 200;

/// After which time a server that is away is looked for again.
const AGAIN: Duration = Duration::from_secs(1);

/// Tells the others of entries, when the transaction under way is committed.
pub(crate) async fn tell(
    connection: &mut Connection<'_>,
    sender: Id,
    ids: &[Id],
) -> Result<(), Trouble> {
    for ids in ids.chunks(IDS) {
        let mut words = vec![sender.to_string()];
        words.extend(ids.iter().map(Id::to_string));
        let values = [CHANNEL.to_string(), words.join(" ")];
        let values = values.map(|text| crate::cell::Cell::Text(Some(text)));
        connection
            .run("SELECT pg_notify($1, $2)".into(), values.into())
            .await?;
    }
    Ok(())
}

/// Listens for the others from now on.
pub(crate) async fn listener(pool: &PgPool) -> Result<PgListener, sqlx::Error> {
    let mut listener = PgListener::connect_with(pool).await?;
    listener.listen(CHANNEL).await?;
    Ok(listener)
}

/// Puts what the others tell into the feed, until nobody can hear it any more. `own` is the sender that this
/// process is. After the connection was lost, what has come since with a later id is read.
pub(crate) async fn listen(
    mut listener: PgListener,
    pool: PgPool,
    own: Id,
    ids: Arc<Ids>,
    feed: broadcast::Sender<Arc<[Entry]>>,
) {
    let mut last: Option<Id> = None;
    loop {
        let heard = match listener.try_recv().await {
            Ok(Some(message)) => heard(&pool, message.payload(), own).await,
            Ok(None) => missed(&pool, last).await, // the connection was lost and is there again
            Err(_) if pool.is_closed() => return,
            Err(_) => {
                tokio::time::sleep(AGAIN).await; // the server is away
                continue;
            }
        };
        let entries = heard.unwrap_or_default(); // who asks the store next is told what is wrong with it
        if let Some(newest) = entries.last() {
            ids.saw(newest.id);
            last = last.max(Some(newest.id));
            let _ = feed.send(entries.into()); // nobody may be listening
        }
    }
}

/// The entries that a message tells of, unless this process sent it.
async fn heard(pool: &PgPool, message: &str, own: Id) -> Result<Vec<Entry>, Trouble> {
    let mut words = message.split(' ').map(str::parse::<Id>);
    if words.next() == Some(Ok(own)) {
        return Ok(Vec::new());
    }
    let ids: Vec<Id> = words.filter_map(Result::ok).collect();
    let mut connection = pool.acquire().await?;
    read::entries(&mut Connection::Postgres(&mut connection), &ids).await
}

/// The entries after the last one heard of.
async fn missed(pool: &PgPool, last: Option<Id>) -> Result<Vec<Entry>, Trouble> {
    let Some(last) = last else {
        return Ok(Vec::new());
    };
    let mut connection = pool.acquire().await?;
    let mut connection = Connection::Postgres(&mut connection);
    read::after(&mut connection, Some(last), usize::MAX).await
}
