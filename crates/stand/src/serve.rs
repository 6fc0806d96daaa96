//! The server: bound to this machine alone, stopped without losing what is under way.

use crate::desk::Desk;
use crate::gate::{self, Gate};
use crate::posted::FORM_BYTES;
use crate::refusal::Refusal;
use crate::routes;
use axum::extract::DefaultBodyLimit;
use axum::middleware;
use axum::response::IntoResponse;
use std::future::Future;
use std::net::{Ipv4Addr, SocketAddr};
use tokio::net::TcpListener;
use workshop::records::Shop;

/// The port that is tried first when none is asked for, so that a bookmark stays good.
const USUAL_PORT: u16 = 7465;

/// Why the pages are not served.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// The port that was asked for cannot be had.
    #[error(
        "port {port} cannot be had: {why}\n  Another program may use it. Name another with --port, or none to take a free one."
    )]
    Port {
        /// As it was asked for.
        port: u16,
        /// What the system says.
        why: std::io::Error,
    },
    /// The server ended by itself.
    #[error("the pages are no longer served: {0}")]
    Ended(#[from] std::io::Error),
}

/// The pages, at an address that only this machine can reach.
#[derive(Debug)]
pub struct Stand {
    listener: TcpListener,
    address: SocketAddr,
}

impl Stand {
    /// Takes a port: the one that is asked for and no other, else the usual one, else any free one.
    ///
    /// # Errors
    /// [`Error::Port`] when it cannot be had.
    pub async fn at(port: Option<u16>) -> Result<Self, Error> {
        let wanted = port.unwrap_or(USUAL_PORT);
        let listener = match (listen(wanted).await, port) {
            (Err(_), None) => listen(0).await,
            (listener, _) => listener,
        };
        let listener = listener.map_err(|why| Error::Port { port: wanted, why })?;
        let address = listener.local_addr()?;
        Ok(Self { listener, address })
    }

    /// What a browser opens.
    #[must_use]
    pub fn address(&self) -> String {
        format!("http://{}/", self.address)
    }

    /// Serves the pages of a shop until `stop` is done, then ends what is under way. `tell` is given
    /// what whoever runs the program should know and no page may say.
    ///
    /// # Errors
    /// [`Error::Ended`] when the server cannot go on.
    pub async fn serve(
        self,
        shop: Shop,
        tell: fn(&str),
        stop: impl Future<Output = ()> + Send + 'static,
    ) -> Result<(), Error> {
        let (closing, closed) = tokio::sync::watch::channel(false);
        let desk = Desk::new(shop, tell, closed);
        let pages = routes::all()
            .fallback(async || Refusal::not_there("such page").into_response())
            .layer(DefaultBodyLimit::max(FORM_BYTES))
            .layer(middleware::from_fn_with_state(
                Gate::at(self.address),
                gate::watch,
            ))
            .with_state(desk);
        let stopped = async move {
            stop.await;
            // Live pages hold their connections open until they are told.
            let _ = closing.send(true);
        };
        axum::serve(self.listener, pages)
            .with_graceful_shutdown(stopped)
            .await?;
        Ok(())
    }
}

async fn listen(port: u16) -> std::io::Result<TcpListener> {
    TcpListener::bind((Ipv4Addr::LOCALHOST, port)).await
}
