//! A workshop of its own behind a real socket, and a browser that says exactly what a test wants.

use stand::Stand;
use std::sync::Arc;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;
use tokio::sync::Notify;
use tokio::task::JoinHandle;
use workshop::records::{Access, Pen, Place, Shop};

/// The pages of an empty workshop, served until the value goes.
pub(crate) struct Served {
    pub(crate) shop: Shop,
    pub(crate) host: String,
    stop: Arc<Notify>,
    serving: JoinHandle<()>,
    _folder: tempfile::TempDir,
}

/// What came back.
#[derive(Debug, Clone)]
pub(crate) struct Answer {
    pub(crate) status: u16,
    pub(crate) head: String,
    pub(crate) body: String,
}

impl Answer {
    pub(crate) fn header(&self, name: &str) -> Option<&str> {
        self.head.lines().find_map(|line| {
            let (found, value) = line.split_once(':')?;
            found.eq_ignore_ascii_case(name).then(|| value.trim())
        })
    }

    /// The value of the first field with this name in the page.
    pub(crate) fn field(&self, name: &str) -> String {
        let at = format!("name=\"{name}\" value=\"");
        let behind = self.body.split_once(&at).map(|(_, behind)| behind);
        let value = behind.and_then(|behind| behind.split_once('"'));
        value.map_or(String::new(), |(value, _)| value.into())
    }
}

/// A browser of one person: its cookie and the token of its forms.
#[derive(Debug, Clone)]
pub(crate) struct Browser {
    pub(crate) cookie: String,
    pub(crate) token: String,
}

impl Served {
    pub(crate) async fn new() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let place = Place::Folder(folder.path().join("records"));
        let shop = Shop::open(&place, Access::Write).await.expect("records");
        let stand = Stand::at(Some(0)).await.expect("a port");
        let address = stand.address();
        let host = address
            .trim_start_matches("http://")
            .trim_end_matches('/')
            .into();
        let stop = Arc::new(Notify::new());
        let (stopped, of_pages) = (stop.clone(), shop.clone());
        let serving = tokio::spawn(async move {
            let stopped = async move { stopped.notified().await };
            stand
                .serve(of_pages, |_| {}, stopped)
                .await
                .expect("serving");
        });
        Self {
            shop,
            host,
            stop,
            serving,
            _folder: folder,
        }
    }

    /// Ends as the program does.
    pub(crate) async fn end(self) {
        self.stop.notify_one();
        self.serving.await.expect("the server ends");
        self.shop.close().await;
    }

    /// A wheel of 24 spokes with a bare lap; the address of the lap.
    pub(crate) async fn lap(&self) -> String {
        use workshop::records::LapTaken;
        use workshop::records::entry::{State, Takes};
        let pen = Pen::of("M");
        let asked = workshop::records::WheelAsked::default();
        let (_, wheel) = self
            .shop
            .take_in_unmeasured(&pen, (12, 12), asked)
            .await
            .expect("a wheel");
        let taken = LapTaken {
            takes: Takes::Reading,
            state: State::Bare,
            face: None,
        };
        let lap = self.shop.lap_at_once(&pen, wheel.id, taken);
        format!("/laps/{}", lap.await.expect("a lap").id)
    }

    /// Sends bytes and reads until the other side closes.
    pub(crate) async fn raw(&self, request: &[u8]) -> Answer {
        let mut stream = TcpStream::connect(&self.host).await.expect("a connection");
        // A server that has heard enough may close before everything was sent.
        let _ = stream.write_all(request).await;
        let mut bytes = Vec::new();
        let _ = stream.read_to_end(&mut bytes).await;
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
        let status = head
            .split(' ')
            .nth(1)
            .and_then(|status| status.parse().ok());
        Answer {
            status: status.unwrap_or(0),
            head: head.into(),
            body: body.into(),
        }
    }

    pub(crate) async fn get(&self, path: &str, browser: Option<&Browser>) -> Answer {
        let cookie = browser.map_or(String::new(), |browser| {
            format!("Cookie: {}\r\n", browser.cookie)
        });
        let request = format!(
            "GET {path} HTTP/1.1\r\nHost: {}\r\n{cookie}Connection: close\r\n\r\n",
            self.host
        );
        self.raw(request.as_bytes()).await
    }

    /// A post as a browser sends it from a page of ours.
    pub(crate) async fn post(
        &self,
        path: &str,
        browser: &Browser,
        fields: &[(&str, &str)],
    ) -> Answer {
        let mut all = vec![("hand", browser.token.as_str())];
        all.extend(fields);
        self.send(path, &[], browser, &form(&all)).await
    }

    /// A post whose headers are as told; those that are not told are as a browser sends them.
    pub(crate) async fn send(
        &self,
        path: &str,
        headers: &[(&str, &str)],
        browser: &Browser,
        body: &str,
    ) -> Answer {
        let own = format!("http://{}", self.host);
        let usual = [
            ("Host", self.host.as_str()),
            ("Origin", own.as_str()),
            ("Content-Type", "application/x-www-form-urlencoded"),
            ("Cookie", browser.cookie.as_str()),
        ];
        let mut request = format!("POST {path} HTTP/1.1\r\n");
        let is_told = |name: &str| {
            headers
                .iter()
                .any(|(told, _)| told.eq_ignore_ascii_case(name))
        };
        let kept = usual.iter().filter(|(name, _)| !is_told(name));
        for (name, value) in kept.chain(headers).filter(|(_, value)| !value.is_empty()) {
            request.push_str(&format!("{name}: {value}\r\n"));
        }
        request.push_str(&format!(
            "Content-Length: {}\r\nConnection: close\r\n\r\n{body}",
            body.len()
        ));
        self.raw(request.as_bytes()).await
    }

    /// A browser that has opened a page.
    pub(crate) async fn browser(&self) -> Browser {
        let page = self.get("/wheels/new", None).await;
        let cookie = page.header("set-cookie").expect("a cookie");
        let cookie = cookie.split(';').next().unwrap_or_default().to_owned();
        let mut browser = Browser {
            cookie,
            token: String::new(),
        };
        browser.token = self.get("/wheels/new", Some(&browser)).await.field("hand");
        browser
    }
}

/// Fields as a browser encodes them.
pub(crate) fn form(fields: &[(&str, &str)]) -> String {
    let encoded = fields
        .iter()
        .map(|(name, value)| format!("{name}={}", escaped(value)));
    encoded.collect::<Vec<_>>().join("&")
}

fn escaped(text: &str) -> String {
    text.bytes()
        .map(|byte| match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' => {
                char::from(byte).to_string()
            }
            _ => format!("%{byte:02X}"),
        })
        .collect()
}
