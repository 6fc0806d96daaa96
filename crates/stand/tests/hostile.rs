//! Requests that no page of ours makes: each is refused or made harmless, and the pages go on.

mod browser;

use browser::{Answer, Browser, Served, form};

/// What a write is called, its headers and body, and the status that refuses it.
type Case<'a> = (&'a str, &'a [(&'a str, &'a str)], &'a str, u16);

/// A workshop with one lap, and somebody at it.
async fn workshop() -> (Served, Browser, String) {
    let served = Served::new().await;
    let lap = served.lap().await;
    let browser = served.browser().await;
    (served, browser, lap)
}

/// How many readings a lap has, by its page.
async fn read(served: &Served, lap: &str) -> String {
    let page = served.get(lap, None).await.body;
    let progress = page.split_once("data-part>").map(|(_, behind)| behind);
    progress
        .and_then(|text| text.split_once('<'))
        .map_or(String::new(), |(text, _)| text.into())
}

fn tells_nothing(name: &str, answer: &Answer) {
    let body = answer.body.to_lowercase();
    for secret in [
        "sqlite",
        "/tmp",
        "panicked",
        "crates/",
        "src/",
        "select ",
        "backtrace",
    ] {
        assert!(!body.contains(secret), "{name} tells {secret}");
    }
}

/// Names and requests without a body, with the status that refuses them.
fn asked(host: &str, lap: &str) -> Vec<(&'static str, String, u16)> {
    let get =
        |path: &str| format!("GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n");
    let with = |line: &str, headers: &str| {
        format!("{line} HTTP/1.1\r\n{headers}Connection: close\r\n\r\n")
    };
    let here = format!("Host: {host}\r\n");
    vec![
        (
            "climbing out of the assets",
            get("/assets/x/../../../../etc/passwd"),
            404,
        ),
        (
            "climbing out, encoded",
            get("/assets/x/..%2f..%2f..%2fetc%2fpasswd"),
            404,
        ),
        (
            "climbing out, encoded twice",
            get("/assets/x/%252e%252e%252fpasswd"),
            404,
        ),
        (
            "climbing out with backslashes",
            get("/assets/x/..%5c..%5cwindows%5cwin.ini"),
            404,
        ),
        (
            "an asset ended by a null",
            get("/assets/x/stand.css%00.html"),
            404,
        ),
        (
            "a photo by a path",
            get("/kept/..%2frimwright.sqlite3"),
            404,
        ),
        ("a photo by a hash that is none", get("/kept/zzzz"), 404),
        (
            "a photo of nobody",
            get(&format!("/kept/{}", "0".repeat(64))),
            404,
        ),
        ("a report by a path", get("/issued/%2e%2e%2fphotos"), 404),
        ("the records themselves", get("/rimwright.sqlite3"), 404),
        ("a lap that is no id", get("/laps/1%20OR%201=1"), 404),
        (
            "a lap with a quote",
            get("/laps/'%3B%20DROP%20TABLE%20entry--"),
            404,
        ),
        (
            "a lap of nobody",
            get("/laps/019a0000-0000-7000-8000-000000000000"),
            404,
        ),
        (
            "an id of another version",
            get("/laps/c232ab00-9414-11ec-b3c8-9f68deced846"),
            404,
        ),
        (
            "a visit that is a lap",
            get(&lap.replace("/laps/", "/visits/")),
            404,
        ),
        ("a wheel with a misread label", get("/wheels/AAAAAB"), 404),
        (
            "a wheel whose label is script",
            get("/wheels/%3Cscript%3E"),
            404,
        ),
        ("no host", with("GET /", ""), 421),
        (
            "the host of a web site",
            with("GET /", "Host: wheels.example\r\n"),
            421,
        ),
        (
            "our address with another port",
            with("GET /", "Host: 127.0.0.1:1\r\n"),
            421,
        ),
        (
            "a host that only begins as ours",
            with("GET /", &format!("Host: {host}.wheels.example\r\n")),
            421,
        ),
        (
            "two hosts",
            with("GET /", &format!("{here}Host: wheels.example\r\n")),
            421,
        ),
        (
            "another host in the first line",
            with("GET http://wheels.example/", &here),
            421,
        ),
        (
            "an address beyond all measure",
            get(&format!("/{}", "a".repeat(5000))),
            414,
        ),
        (
            "a question beyond all measure",
            get(&format!("/find?wanted={}", "a".repeat(5000))),
            414,
        ),
        (
            "a method to delete",
            with(&format!("DELETE {lap}"), &here),
            405,
        ),
        (
            "a method to put",
            with(
                &format!("PUT {lap}"),
                &format!("{here}Content-Length: 0\r\n"),
            ),
            405,
        ),
        ("a method to trace", with("TRACE /", &here), 405),
        (
            "a method to ask what is allowed",
            with("OPTIONS /", &here),
            405,
        ),
        ("a tunnel", with("CONNECT wheels.example:443", &here), 421),
        ("a get where one writes", get("/demo/remove"), 405),
        (
            "headers without end",
            with("GET /", &format!("{here}X: {}\r\n", "a".repeat(600_000))),
            431,
        ),
        (
            "a header with a control character",
            format!("GET / HTTP/1.1\r\nHost: {host}\r\nX: a\u{1}b\r\n\r\n"),
            400,
        ),
        ("no request at all", "\u{16}\u{3}\u{1}\r\n\r\n".into(), 400),
    ]
}

#[tokio::test]
async fn what_no_page_asks_for_is_refused_and_tells_nothing() {
    let (served, _, lap) = workshop().await;
    for (name, request, status) in asked(&served.host, &lap) {
        let answer = served.raw(request.as_bytes()).await;
        // A method that a page does not have is refused before or by the page.
        assert_eq!(answer.status, status, "{name}: {}", answer.head);
        tells_nothing(name, &answer);
    }
    assert_eq!(served.get("/", None).await.status, 200, "the pages go on");
    served.end().await;
}

#[tokio::test]
async fn write_that_is_not_of_our_page_is_refused() {
    let (served, browser, lap) = workshop().await;
    let stranger = served.browser().await;
    let reading = form(&[("hand", &browser.token), ("number", "1"), ("raw", "22.5")]);
    let without = form(&[("number", "1"), ("raw", "22.5")]);
    let of_stranger = form(&[("hand", &stranger.token), ("number", "1"), ("raw", "22.5")]);
    let forged = form(&[("hand", &"0".repeat(64)), ("number", "1"), ("raw", "22.5")]);
    let twice = format!("{reading}&raw=30");
    // No name twice, so that it is their number that is refused.
    let more: String = (0..400).map(|n| format!("&x{n}=1")).collect();
    let many = format!("{reading}{more}");
    let broken = format!("{reading}&note=%ff%fe");
    let own = format!("http://{}", served.host);
    let large = format!("{reading}&note={}", "a".repeat(400_000));
    let cases: [Case<'_>; 20] = [
        (
            "an origin that is a web site",
            &[("Origin", "http://wheels.example")],
            &reading,
            403,
        ),
        (
            "an origin that only begins as ours",
            &[("Origin", &format!("{own}.wheels.example"))],
            &reading,
            403,
        ),
        (
            "our origin over TLS",
            &[("Origin", &own.replace("http", "https"))],
            &reading,
            403,
        ),
        (
            "our origin with another port",
            &[("Origin", "http://127.0.0.1:1")],
            &reading,
            403,
        ),
        (
            "an origin that is null",
            &[("Origin", "null")],
            &reading,
            403,
        ),
        ("no origin", &[("Origin", "")], &reading, 403),
        (
            "two origins",
            &[("Origin", &own), ("Origin", "http://wheels.example")],
            &reading,
            403,
        ),
        (
            "a browser that says it came from elsewhere",
            &[("Sec-Fetch-Site", "cross-site")],
            &reading,
            403,
        ),
        (
            "a browser that says it came from a sister",
            &[("Sec-Fetch-Site", "same-site")],
            &reading,
            403,
        ),
        ("no token", &[], &without, 403),
        ("a forged token", &[], &forged, 403),
        ("the token of another browser", &[], &of_stranger, 403),
        ("no cookie", &[("Cookie", "")], &reading, 403),
        (
            "a cookie of somebody's own making",
            &[("Cookie", "rimwright-hand=x")],
            &reading,
            403,
        ),
        (
            "plain text, as a form without a question sends it",
            &[("Content-Type", "text/plain")],
            &reading,
            400,
        ),
        (
            "JSON",
            &[("Content-Type", "application/json")],
            "{\"number\":1,\"raw\":\"22.5\"}",
            400,
        ),
        ("no type", &[("Content-Type", "")], &reading, 400),
        ("a field twice", &[], &twice, 400),
        ("fields without end", &[], &many, 400),
        ("bytes that are no text", &[], &broken, 400),
    ];
    for (name, headers, body, status) in cases {
        let answer = served.send(&lap, headers, &browser, body).await;
        assert_eq!(answer.status, status, "{name}: {}", answer.head);
        tells_nothing(name, &answer);
        assert_eq!(read(&served, &lap).await, "0 of 24", "{name} wrote");
    }
    let answer = served.send(&lap, &[], &browser, &large).await;
    assert_eq!(answer.status, 413, "a form too large: {}", answer.head);
    assert_eq!(read(&served, &lap).await, "0 of 24");
    served.end().await;
}

#[tokio::test]
async fn what_is_no_reading_is_asked_about_and_not_taken() {
    let (served, browser, lap) = workshop().await;
    let long = "2".repeat(5000);
    for raw in [
        "",
        " ",
        "abc",
        "NaN",
        "inf",
        "-inf",
        "1e308",
        "1e5",
        "0x16",
        "22.5.1",
        "22;5",
        "--5",
        "²²",
        "22,500",
        "99999999",
        "éé;(",
        "<script>alert(1)</script>",
        "'; DROP TABLE readings; --",
        "\u{202e}5.22",
        "22.5\u{0}",
        "=1+1",
        &long,
    ] {
        let answer = served
            .post(&lap, &browser, &[("number", "1"), ("raw", raw)])
            .await;
        assert_eq!(answer.status, 422, "{raw:?}: {}", answer.head);
        assert!(
            !answer.body.contains("<script>alert"),
            "{raw:?} is written into the page as it is"
        );
        assert_eq!(read(&served, &lap).await, "0 of 24", "{raw:?}");
    }
    for number in ["0", "25", "-1", "99999999999999999999", "one"] {
        let answer = served
            .post(&lap, &browser, &[("number", number), ("raw", "22.5")])
            .await;
        assert_eq!(answer.status, 422, "place {number}");
    }
    for (field, value) in [("entry", "x"), ("seen", "x"), ("entry", "../../x")] {
        let answer = served
            .post(
                &lap,
                &browser,
                &[("number", "1"), ("raw", "22.5"), (field, value)],
            )
            .await;
        assert!(
            [400, 404].contains(&answer.status),
            "{field}: {}",
            answer.status
        );
    }
    assert_eq!(read(&served, &lap).await, "0 of 24");
    served.end().await;
}

#[tokio::test]
async fn form_that_is_sent_again_takes_one_reading() {
    let (served, browser, lap) = workshop().await;
    let page = served.get(&lap, Some(&browser)).await;
    let (entry, number) = (page.field("entry"), page.field("number"));
    let reading = [
        ("entry", entry.as_str()),
        ("number", number.as_str()),
        ("raw", "22.5"),
    ];
    for _ in 0..3 {
        assert_eq!(served.post(&lap, &browser, &reading).await.status, 303);
        assert_eq!(read(&served, &lap).await, "1 of 24");
    }
    // The same id with another number in it is another form, and is not taken for the first one.
    let other = [
        ("entry", entry.as_str()),
        ("number", number.as_str()),
        ("raw", "30"),
    ];
    assert_eq!(served.post(&lap, &browser, &other).await.status, 409);
    assert_eq!(read(&served, &lap).await, "1 of 24");
    served.end().await;
}

#[tokio::test]
async fn script_in_every_field_is_shown_as_text() {
    let (served, browser, _) = workshop().await;
    let script = "\"><script>alert(1)</script><img src=x onerror=alert(1)>";
    let wheel = [
        ("spokes", "12,12"),
        ("name", script),
        ("owner", script),
        ("contact", script),
    ];
    assert_eq!(served.post("/wheels", &browser, &wheel).await.status, 303);
    let address = format!("/wheels/{}", label(&served).await);
    let part = [
        ("what", script),
        ("maker", script),
        ("model", script),
        ("lot", script),
        ("serial", script),
    ];
    assert_eq!(
        served
            .post(&format!("{address}/parts"), &browser, &part)
            .await
            .status,
        303
    );
    let limit = [
        ("part", "rim"),
        ("value", "125 kgf"),
        ("state", "bare"),
        ("source", script),
    ];
    assert_eq!(
        served
            .post(&format!("{address}/limits"), &browser, &limit)
            .await
            .status,
        303
    );
    let claim = [
        ("text", script),
        ("quantity", "mass_g"),
        ("number", "800"),
        ("source", script),
    ];
    assert_eq!(
        served
            .post(&format!("{address}/claims"), &browser, &claim)
            .await
            .status,
        303
    );
    assert_eq!(
        served
            .post("/settings/who", &browser, &[("name", "<b>M</b>")])
            .await
            .status,
        303
    );
    let life = served.get(&address, None).await;
    let visit = life
        .body
        .split("/visits/")
        .nth(1)
        .and_then(|rest| rest.split_once('"'));
    let visit = visit
        .map(|(visit, _)| format!("/visits/{visit}"))
        .expect("a visit");
    for (form, fields) in [
        ("looks", vec![("finding", script), ("spoke", "7")]),
        ("advice", vec![("text", script)]),
        ("weighings", vec![("mass", "812"), ("dress", script)]),
    ] {
        let answer = served
            .post(&format!("{visit}/{form}"), &browser, &fields)
            .await;
        assert_eq!(answer.status, 303, "{form}: {}", answer.body);
    }
    for page in [
        "/",
        &address,
        &visit,
        &format!("{visit}/verdict"),
        &format!("{address}/paper"),
        &format!("/find?wanted={}", "%22%3E%3Cscript%3E"),
    ] {
        let answer = served.get(page, None).await;
        assert_eq!(answer.status, 200, "{page}");
        let body = answer.body.replace("<script src=\"/assets/", "");
        assert!(
            !body.contains("<script") && !body.contains("<img src=x"),
            "{page}"
        );
        let policy = answer.header("content-security-policy").expect("a policy");
        assert!(
            policy.contains("script-src 'self'") && !policy.contains("unsafe"),
            "{policy}"
        );
    }
    served.end().await;
}

#[tokio::test]
async fn photo_that_is_none_is_refused() {
    let (served, browser, lap) = workshop().await;
    let page = served.get(&lap, None).await.body;
    let visit = page
        .split("/visits/")
        .nth(1)
        .and_then(|rest| rest.split_once('"'));
    let photos = visit
        .map(|(visit, _)| format!("/visits/{visit}/photos"))
        .expect("a visit");
    let part = |name: &str, file: &str, content: &str| {
        let file = if file.is_empty() {
            String::new()
        } else {
            format!("; filename=\"{file}\"")
        };
        format!("--B\r\nContent-Disposition: form-data; name=\"{name}\"{file}\r\n\r\n{content}\r\n")
    };
    let token = part("hand", "", &browser.token);
    let large = "a".repeat(17 * 1024 * 1024);
    let cases = [
        (
            "a photo of a stranger",
            part("photo", "x.jpg", "x") + "--B--\r\n",
            403,
        ),
        (
            "a photo before its token",
            part("photo", "x.jpg", "x") + &token + "--B--\r\n",
            403,
        ),
        ("no photo", format!("{token}--B--\r\n"), 422),
        (
            "a page for a photo",
            token.clone() + &part("photo", "x.html", "<script>alert(1)</script>") + "--B--\r\n",
            422,
        ),
        (
            "a drawing with script",
            token.clone() + &part("photo", "x.svg", "<svg onload='alert(1)'/>") + "--B--\r\n",
            422,
        ),
        (
            "a photo by a path",
            token.clone() + &part("photo", "../../x.jpg", "\u{1}") + "--B--\r\n",
            422,
        ),
        (
            "a photo that ends too soon",
            token.clone() + "--B\r\nContent-Disposition: form-data; name=\"photo\"",
            400,
        ),
        (
            "a photo too large",
            token.clone() + &part("photo", "x.jpg", &large) + "--B--\r\n",
            413,
        ),
    ];
    for (name, body, status) in cases {
        let headers = [("Content-Type", "multipart/form-data; boundary=B")];
        let answer = served.send(&photos, &headers, &browser, &body).await;
        // A server that has heard enough may close before the answer is read.
        assert!(
            [status, 0].contains(&answer.status),
            "{name}: {}",
            answer.head
        );
        assert!(answer.status != 0 || status == 413, "{name}");
        tells_nothing(name, &answer);
    }
    let plain = form(&[("hand", &browser.token), ("photo", "x")]);
    assert_eq!(
        served.send(&photos, &[], &browser, &plain).await.status,
        400
    );
    served.end().await;
}

#[tokio::test]
async fn address_to_go_back_to_is_always_ours() {
    let (served, browser, lap) = workshop().await;
    for to in [
        "https://wheels.example/",
        "//wheels.example/",
        "/\\wheels.example",
        "javascript:alert(1)",
        "/a\r\nX: y",
    ] {
        let of = lap.trim_start_matches("/laps/");
        let answer = served
            .post("/withdraw", &browser, &[("of", of), ("to", to)])
            .await;
        assert_eq!(answer.status, 303, "{to}: {}", answer.body);
        assert_eq!(answer.header("location"), Some("/"), "{to}");
    }
    served.end().await;
}

/// The label of the only wheel.
async fn label(served: &Served) -> String {
    let shelf = served.get("/", None).await.body;
    let label = shelf.split("class=\"label\">").nth(1);
    let label = label.and_then(|rest| rest.split_once('<'));
    label.map(|(label, _)| label.to_owned()).expect("a label")
}

#[tokio::test]
async fn question_that_no_page_asks_of_a_wheel_is_refused() {
    let (served, _, _) = workshop().await;
    let label = label(&served).await;
    for (page, name) in [
        ("build", "step"),
        ("build", "spares"),
        ("build/print", "kg"),
        ("build", "share"),
        ("bears", "kg"),
        ("bears", "lateral"),
    ] {
        for value in [
            "%3Cscript%3Ealert(1)%3C/script%3E",
            "NaN",
            "inf",
            "1e308",
            "-99999999",
            "99999999",
            "1,250",
            "0x10",
            "%00",
        ] {
            let path = format!("/wheels/{label}/{page}?{name}={value}");
            let answer = served.get(&path, None).await;
            assert_eq!(answer.status, 422, "{path}: {}", answer.head);
            assert!(!answer.body.contains("<script>alert"), "{path}");
            tells_nothing(&path, &answer);
        }
    }
    for path in ["build", "build/print", "bears"] {
        let nobody = served.get(&format!("/wheels/AAAAAB/{path}"), None).await;
        assert_eq!(nobody.status, 404, "{path}");
        let usual = served.get(&format!("/wheels/{label}/{path}"), None).await;
        assert_eq!(usual.status, 200, "{path}");
    }
    served.end().await;
}

#[tokio::test]
async fn lap_that_no_page_begins_is_refused_and_an_old_visit_is_asked_about() {
    use workshop::records::{Pen, VisitAsked};
    let (served, browser, _) = workshop().await;
    let label = label(&served).await;
    let wheel = served.shop.wheel_called(&label).await.expect("a wheel");
    let asked = VisitAsked {
        taken: Some("2026-03-04T10:20:00+01:00".into()),
        ..VisitAsked::default()
    };
    let old = served.shop.open_visit(&Pen::of("M"), wheel, asked).await;
    let old = old.expect("a visit").id.to_string();
    let address = format!("/wheels/{label}/laps");
    let laps = async || {
        let life = served.shop.life(wheel).await.expect("a life");
        life.visits
            .iter()
            .map(|visit| visit.laps.len())
            .sum::<usize>()
    };
    let before = laps().await;
    for (name, fields, status) in [
        ("no state", vec![], 400),
        ("a state that is none", vec![("state", "wet")], 400),
        (
            "a thing no lap takes",
            vec![("state", "bare"), ("takes", "x")],
            400,
        ),
        (
            "a visit that is no id",
            vec![("state", "bare"), ("visit", "../x")],
            404,
        ),
        (
            "a visit of nobody",
            vec![
                ("state", "bare"),
                ("visit", "019a0000-0000-7000-8000-000000000000"),
            ],
            404,
        ),
        (
            "a visit that is a wheel",
            vec![
                ("state", "bare"),
                ("visit", &*wheel.to_string()),
                ("into", "this"),
            ],
            404,
        ),
        (
            "an answer that is none",
            vec![("state", "bare"), ("visit", &*old), ("into", "x")],
            400,
        ),
        (
            "an old visit, not asked yet",
            vec![("state", "bare"), ("visit", &*old)],
            422,
        ),
    ] {
        let answer = served.post(&address, &browser, &fields).await;
        assert_eq!(answer.status, status, "{name}: {}", answer.head);
        assert_eq!(laps().await, before, "{name} began a lap");
        tells_nothing(name, &answer);
    }
    let into = [("state", "bare"), ("visit", &*old), ("into", "this")];
    assert_eq!(served.post(&address, &browser, &into).await.status, 303);
    assert_eq!(laps().await, before + 1);
    served.end().await;
}

/// The demo's wheel whose structure is known: the page of a plan for it, its visit's, and another wheel's.
async fn round(served: &Served) -> (String, String, String) {
    let pen = workshop::records::Pen::of("M");
    served.shop.fill_demo(&pen).await.expect("the demo");
    let (shelf, _) = served.shop.shelf(None, 10).await.expect("a shelf");
    let (of_round, others): (Vec<_>, Vec<_>) = shelf
        .wheels
        .iter()
        .partition(|wheel| wheel.name.contains("tandem"));
    let visit = served.shop.visit_called(&of_round[0].label).await;
    let visit = visit.expect("a visit");
    let mut at = served.shop.at_round(visit).await.expect("readings");
    at.question.at_most = Some(4);
    let plan = served.shop.plan_round(&pen, at).await.expect("a plan").id;
    (
        format!("/rounds/{plan}"),
        format!("/visits/{visit}"),
        format!("/wheels/{}", others[0].label),
    )
}

#[tokio::test]
async fn turn_that_no_page_sends_is_refused_and_the_same_form_turns_once() {
    let (served, browser, _) = workshop().await;
    let (plan, visit, other) = round(&served).await;
    let work = format!("{plan}/work");
    let turn = |number: &'static str, what: &'static str| vec![("number", number), ("do", what)];
    let otherwise =
        |steps: &'static str| vec![("number", "1"), ("do", "otherwise"), ("steps", steps)];
    let nobody = "/rounds/019a0000-0000-7000-8000-000000000000/work";
    let of_visit = format!("{}/work", visit.replace("/visits/", "/rounds/"));
    let asked = format!("{visit}/round");
    let laps = format!("{other}/laps");
    let of_other = visit.trim_start_matches("/visits/").to_owned();
    for (address, fields, status) in [
        (work.as_str(), turn("0", "done"), 422),
        (&work, turn("99", "done"), 422),
        (&work, turn("one", "done"), 422),
        (&work, turn("-1", "pass"), 422),
        (&work, turn("1", "explode"), 400),
        (&work, otherwise("many"), 422),
        (&work, otherwise("4000000"), 422),
        (&work, otherwise(""), 422),
        (&work, vec![("do", "undo"), ("last", "../../x")], 404),
        (&work, vec![("number", "1"), ("entry", "x")], 400),
        (nobody, turn("1", "done"), 404),
        (&of_visit, turn("1", "done"), 404),
        (&asked, vec![("step", "0")], 400),
        (&asked, vec![("step", "<b>")], 422),
        (&asked, vec![("target", "-3")], 422),
        (&asked, vec![("target", "NaN")], 422),
        (&asked, vec![("at_most", "2.5")], 422),
        (&asked, vec![("most_turns", "1e9")], 422),
        (&asked, vec![("dish", "1,200")], 422),
        (&asked, vec![("seized", "7, 99")], 422),
        (&asked, vec![("seized", "<script>alert(1)</script>")], 422),
        (
            &laps,
            vec![("state", "bare"), ("visit", of_other.as_str())],
            404,
        ),
    ] {
        let answer = served.post(address, &browser, &fields).await;
        assert_eq!(answer.status, status, "{address} {fields:?}");
        assert!(!answer.body.contains("<script>alert"), "{fields:?}");
        tells_nothing(address, &answer);
    }
    assert_eq!(read(&served, &work).await, "0 of 4");
    let page = served.get(&work, Some(&browser)).await;
    let (entry, number) = (page.field("entry"), page.field("number"));
    let done = [
        ("entry", entry.as_str()),
        ("number", &number),
        ("do", "done"),
    ];
    for _ in 0..3 {
        assert_eq!(served.post(&work, &browser, &done).await.status, 303);
        assert_eq!(read(&served, &work).await, "1 of 4");
    }
    let again = [("number", number.as_str()), ("do", "done")];
    let answer = served.post(&work, &browser, &again).await;
    assert_eq!(answer.status, 409, "another hand at the same nipple");
    assert!(answer.body.contains("done meanwhile"), "{}", answer.body);
    // Planning from readings that nipples were turned after is refused, with the way on.
    let answer = served.get(&asked, Some(&browser)).await;
    assert_eq!(answer.status, 409);
    assert!(answer.body.contains("Next lap, bare"), "{}", answer.body);
    served.end().await;
}

#[tokio::test]
async fn reading_into_a_lap_from_before_the_turns_is_asked_about() {
    let (served, browser, _) = workshop().await;
    let (plan, visit, _) = round(&served).await;
    let id = |address: &str| {
        address
            .rsplit('/')
            .next()
            .expect("an id")
            .parse()
            .expect("one")
    };
    let life = served.shop.visit(id(&visit)).await.expect("a visit");
    let of_lap = life
        .laps
        .iter()
        .find(|lap| lap.takes == "lateral")
        .expect("a lap");
    let lap = format!("/laps/{}", of_lap.entry.id);
    let at = async |number: usize| {
        let view = served.shop.lap(id(&lap)).await.expect("a lap");
        let reading = view.places[number - 1].reading.clone().expect("one stands");
        (reading.entry.entry, reading.raw)
    };
    let send = async |number: usize, raw: &str, late: bool| {
        let (seen, _) = at(number).await;
        let number = number.to_string();
        let mut fields = vec![("number", number.as_str()), ("seen", &seen), ("raw", raw)];
        fields.extend(late.then_some(("late", "yes")));
        served.post(&lap, &browser, &fields).await
    };
    assert_eq!(send(1, "0.11", false).await.status, 303, "before any turn");
    let turn = [("number", "1"), ("do", "done")];
    let turned = served.post(&format!("{plan}/work"), &browser, &turn).await;
    assert_eq!(turned.status, 303);
    let asked = send(2, "0.22", false).await;
    assert_eq!(asked.status, 422);
    for words in [
        "Nipples were turned since",
        "begin the next lap",
        "put 0.22 in its place",
    ] {
        assert!(asked.body.contains(words), "{words}: {}", asked.body);
    }
    assert_ne!(at(2).await.1, "0.22");
    assert_eq!(at(1).await.1, "0.11");
    let typed = format!("{lap}/typed");
    let page = served.get(&typed, Some(&browser)).await;
    assert!(page.body.contains("Read before the turns"), "{}", page.body);
    assert_eq!(send(2, "0.22", true).await.status, 303, "it was a slip");
    assert_eq!(at(2).await.1, "0.22");
    assert_eq!(send(3, "0.33", false).await.status, 303, "asked once");
    served.end().await;
}
