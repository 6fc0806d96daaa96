//! Server-sent events: a page learns that something it shows was written, and asks for its parts anew.

use crate::desk::Desk;
use axum::response::IntoResponse;
use axum::response::sse::{Event, KeepAlive, Sse};
use std::convert::Infallible;
use std::time::Duration;
use tokio::sync::mpsc;
use tokio_stream::wrappers::ReceiverStream;
use workshop::records::{Id, News};

/// A silent connection is given up by the browser after a while; a word in between keeps it.
const BETWEEN: Duration = Duration::from_secs(15);
/// News that wait for a slow browser; it asks for everything anew anyway.
const WAITING: usize = 8;

/// News about some things until the browser leaves or the program ends.
pub(crate) fn about(desk: &Desk, things: Vec<Id>) -> impl IntoResponse + use<> {
    let (tell, told) = mpsc::channel(WAITING);
    let mut feed = desk.shop.feed();
    let mut closing = desk.closing.clone();
    tokio::spawn(async move {
        loop {
            let news = tokio::select! {
                news = feed.next() => news,
                () = tell.closed() => return,
                _ = closing.wait_for(|is_closing| *is_closing) => return,
            };
            let Some(news) = news else { return };
            let Some(newest) = news.iter().rev().find_map(|one| newest(one, &things)) else {
                continue;
            };
            if tell
                .send(Ok::<_, Infallible>(
                    Event::default().event("news").data(newest),
                ))
                .await
                .is_err()
            {
                return;
            }
        }
    });
    Sse::new(ReceiverStream::new(told)).keep_alive(KeepAlive::new().interval(BETWEEN))
}

/// The entry that tells something of these things.
fn newest(news: &News, things: &[Id]) -> Option<String> {
    match news {
        News::Missed => Some(String::new()),
        News::Entered {
            entry,
            about,
            supersedes,
            ..
        } => {
            let named = [Some(*entry), *about, *supersedes];
            let is_ours = named.into_iter().flatten().any(|id| things.contains(&id));
            is_ours.then(|| entry.to_string())
        }
    }
}
