//! What was noted wrongly is written otherwise on the page that shows it. Wheels and notes are made up.

mod browser;

use browser::{Answer, Browser, Served};

/// Fields of a form by their names.
type Fields<'a> = &'a [(&'a str, &'a str)];

/// Posts a form, then the one that corrects what it entered, as `page` shows it; yields that page.
async fn corrected(
    served: &Served,
    browser: &Browser,
    (page, forms): (&str, &str),
    noted: Fields<'_>,
    otherwise: Fields<'_>,
) -> Answer {
    let address = format!("{page}/{forms}");
    let answer = served.post(&address, browser, noted).await;
    assert_eq!(answer.status, 303, "{address}: {}", answer.body);
    let shown = served.get(page, Some(browser)).await;
    let at = shown.body.find(&format!("action=\"{address}/correct\""));
    let form = at.map_or("", |at| &shown.body[at..]);
    let seen = form
        .split_once("name=\"seen\" value=\"")
        .map_or("", |(_, behind)| behind);
    let seen = seen.split_once('"').map_or("", |(seen, _)| seen);
    for (name, value) in noted {
        assert!(
            form.contains(&format!("value=\"{value}\"")),
            "{name} is in the form: {form}"
        );
    }
    let correct = async |why: &str| {
        let fields = [otherwise, &[("seen", seen), ("why", why)]].concat();
        served
            .post(&format!("{address}/correct"), browser, &fields)
            .await
    };
    let answer = correct(" ").await;
    assert_eq!(answer.status, 422, "{address}: a reason is wanted");
    assert!(
        answer.body.contains("why it is corrected"),
        "{}",
        answer.body
    );
    assert_eq!(correct("a slip").await.status, 303, "{address}");
    let answer = correct("once more").await;
    assert_eq!(answer.status, 409, "{address}: somebody was quicker");
    served.get(page, Some(browser)).await
}

#[tokio::test]
async fn note_is_corrected_where_it_stands() {
    let served = Served::new().await;
    let lap = served.lap().await;
    let browser = served.browser().await;
    let id = lap.trim_start_matches("/laps/").parse().expect("an id");
    let lap = served.shop.lap(id).await.expect("a lap");
    let visit = format!("/visits/{}", lap.visit);
    let wheel = format!("/wheels/{}", lap.wheel_label);

    let page = corrected(
        &served,
        &browser,
        (&visit, "weighings"),
        &[("mass", "812"), ("dress", "tape")],
        &[("mass", "821"), ("dress", "tape, valve")],
    );
    let page = page.await.body;
    assert!(
        page.contains("821 g") && page.contains("with tape, valve"),
        "{page}"
    );
    assert!(
        !page.contains("812 g") && page.contains(": a slip."),
        "{page}"
    );
    let page = corrected(
        &served,
        &browser,
        (&visit, "looks"),
        &[("finding", "white crust"), ("spoke", "3")],
        &[("finding", "white crust"), ("spoke", "5")],
    );
    let page = page.await.body;
    assert!(
        page.contains("Spoke 5") && !page.contains("Spoke 3"),
        "{page}"
    );
    let advice = [("text", "New freehub")];
    let otherwise = [("text", "New freehub body")];
    let page = corrected(&served, &browser, (&visit, "advice"), &advice, &otherwise);
    assert!(page.await.body.contains("New freehub body"));
    let pen = workshop::records::Pen::of("M");
    let photo = served.shop.keep_photo(
        &pen,
        visit.trim_start_matches("/visits/").parse().expect("an id"),
        "image/png",
        vec![1, 2, 3],
        Some("hole 11".into()),
    );
    let (_, photo) = photo.await.expect("kept");
    let seen = photo.id.to_string();
    let fields = [
        ("seen", seen.as_str()),
        ("why", "miscounted"),
        ("caption", "hole 9"),
    ];
    let address = format!("{visit}/photos/correct");
    let done = served.post(&address, &browser, &fields).await;
    assert_eq!(done.status, 303, "{}", done.body);
    let page = served.get(&visit, Some(&browser)).await.body;
    assert!(
        page.contains("hole 9, ") && !page.contains("hole 11"),
        "{page}"
    );
    let page = corrected(
        &served,
        &browser,
        (&wheel, "limits"),
        &[
            ("part", "rim"),
            ("value", "125 kgf"),
            ("state", "bare"),
            ("source", "sticker"),
        ],
        &[
            ("part", "rim"),
            ("value", "120 kgf"),
            ("state", "bare"),
            ("source", "sticker"),
        ],
    );
    let page = page.await.body;
    assert!(
        page.contains("<td>120 kgf</td>") && !page.contains("<td>125"),
        "{page}"
    );
    let page = corrected(
        &served,
        &browser,
        (&wheel, "claims"),
        &[
            ("text", "light"),
            ("quantity", "mass_g"),
            ("bound", "least"),
            ("number", "700"),
        ],
        &[
            ("text", "light as ever"),
            ("quantity", "mass_g"),
            ("bound", "most"),
            ("number", "800"),
        ],
    );
    assert!(page.await.body.contains("“light as ever”"));
    let page = corrected(
        &served,
        &browser,
        (&wheel, "parts"),
        &[("what", "rim"), ("maker", "Kelpworth"), ("serial", "B10")],
        &[("what", "rim"), ("maker", "Kelpworth"), ("serial", "B70")],
    );
    assert!(page.await.body.contains("serial B70"));
    served.end().await;
}

#[tokio::test]
async fn check_and_calibration_are_corrected_at_the_bench() {
    let served = Served::new().await;
    let browser = served.browser().await;
    let gauge = [
        ("label", "G"),
        ("resolution", "0.5"),
        ("repeatability", "0.25"),
    ];
    let taken = served.post("/bench", &browser, &gauge).await;
    let gauge = taken
        .header("location")
        .expect("the gauge's page")
        .to_owned();
    let page = corrected(
        &served,
        &browser,
        (&gauge, "checks"),
        &[
            ("reading", "25.5"),
            ("expected", "22"),
            ("tolerance", "0.25"),
        ],
        &[("reading", "22"), ("expected", "22"), ("tolerance", "0.25")],
    );
    let page = page.await.body;
    assert!(page.contains("it read 22, the rod is 22 ± 0.25"), "{page}");
    // The one before the last too.
    let second = [("reading", "23"), ("expected", "22"), ("tolerance", "2")];
    let checks = format!("{gauge}/checks");
    let noted = served.post(&checks, &browser, &second);
    assert_eq!(noted.await.status, 303);
    let shown = served.get(&checks, Some(&browser)).await.body;
    let first = shown.rfind("name=\"seen\" value=\"").expect("a form");
    let seen = shown[first..].split('"').nth(3).expect("an entry");
    let fields = [
        ("seen", seen),
        ("why", "misread"),
        ("reading", "22.1"),
        ("expected", "22"),
        ("tolerance", "0.25"),
    ];
    let address = format!("{checks}/correct");
    let done = served.post(&address, &browser, &fields);
    assert_eq!(done.await.status, 303);
    let shown = served.get(&checks, Some(&browser)).await.body;
    let newest = shown.find("it read 23");
    let oldest = shown.find("it read 22.1");
    assert!(newest.is_some() && newest < oldest, "{shown}");

    let rig = [("name", "screw"), ("note", "cell 3, ten kilos in March")];
    let entered = served.post("/bench/rigs", &browser, &rig).await;
    assert_eq!(entered.status, 303);
    let page = served.get("/bench", Some(&browser)).await;
    let of_rig = page
        .body
        .find("action=\"/bench/rigs/correct\"")
        .expect("a form");
    let seen = page.body[of_rig..].split_once("name=\"seen\" value=\"");
    let rig = seen
        .and_then(|(_, behind)| behind.split('"').next())
        .expect("an entry");
    let begun = [("kind", "plian"), ("temperature", "17.5"), ("rig", rig)];
    let begun = served
        .post(&format!("{gauge}/calibrations"), &browser, &begun)
        .await;
    let address = begun.header("location").expect("its page").to_owned();
    let page = served.get(&address, Some(&browser)).await;
    let (seen, kind) = (page.field("seen"), page.field("kind"));
    assert_eq!(kind, "plian");
    let fields = [
        ("seen", &*seen),
        ("why", "misspelt"),
        ("kind", "plain"),
        ("temperature", "17.5"),
        ("rig", rig),
    ];
    let done = served
        .post(&format!("{address}/correct"), &browser, &fields)
        .await;
    assert_eq!(done.status, 303, "{}", done.body);
    let page = served.get(&address, Some(&browser)).await.body;
    assert!(page.contains("Gauge G</a> on plain"), "{page}");
    let named = "Taken on the rig screw: cell 3, ten kilos in March.";
    assert!(page.contains(named), "{page}");
    let another = [
        ("seen", rig),
        ("why", "new cell"),
        ("name", "screw"),
        ("note", "cell 4"),
    ];
    let done = served.post("/bench/rigs/correct", &browser, &another).await;
    assert_eq!(done.status, 303);
    let page = served.get(&address, Some(&browser)).await.body;
    assert!(page.contains("Taken on the rig screw: cell 4."), "{page}");
    served.end().await;
}

#[tokio::test]
async fn what_came_with_a_visit_is_shown_and_corrected_there_and_the_wheel_says_where() {
    use workshop::records::entry::State;
    use workshop::records::{ClaimAsked, LimitAsked, Pen};
    let served = Served::new().await;
    let browser = served.browser().await;
    let lap = served.lap().await;
    let lap = lap.trim_start_matches("/laps/").parse().expect("an id");
    let lap = served.shop.lap(lap).await.expect("a lap");
    let wheel = format!("/wheels/{}", lap.wheel_label);
    let visit = format!("/visits/{}", lap.visit);
    let page = async |address: &str| served.get(address, Some(&browser)).await.body;
    let before = page(&wheel).await;
    assert!(before.contains("No limit known"), "{before}");
    let (pen, about) = (Pen::of("M"), lap.visit.parse().expect("an id"));
    let limit = LimitAsked {
        part: "rim".into(),
        value: "125 kgf".into(),
        state: Some(State::Bare),
        source: "sticker".into(),
        ..LimitAsked::default()
    };
    let claim = ClaimAsked {
        text: "light".into(),
        quantity: "mass_g".into(),
        at_most: Some(800.0),
        ..ClaimAsked::default()
    };
    let noted = served.shop.note_limit(&pen, about, limit).await;
    noted.expect("a limit");
    let noted = served.shop.note_claim(&pen, about, claim).await;
    noted.expect("a claim");
    let of_wheel = page(&wheel).await;
    assert!(!of_wheel.contains("No limit known"), "{of_wheel}");
    assert!(!of_wheel.contains("Nothing is claimed"), "{of_wheel}");
    let there = format!("{visit}#judged");
    assert!(of_wheel.contains("1 limit noted with the") && of_wheel.contains(&there));
    let of_visit = page(&visit).await;
    let form = |what: &str| {
        let at = of_visit.find(&format!("action=\"{visit}/{what}/correct\""));
        let (_, behind) = of_visit[at.expect("a form")..]
            .split_once("name=\"seen\" value=\"")
            .expect("an entry");
        behind.split('"').next().expect("an id").to_owned()
    };
    let (limit, claim) = (form("limits"), form("claims"));
    for (what, fields) in [
        (
            "limits",
            vec![
                ("seen", limit.as_str()),
                ("part", "rim"),
                ("value", "120 kgf"),
                ("state", "bare"),
                ("source", "sticker"),
            ],
        ),
        (
            "claims",
            vec![
                ("seen", claim.as_str()),
                ("text", "light as ever"),
                ("quantity", "mass_g"),
                ("number", "790"),
            ],
        ),
    ] {
        let fields = [fields, vec![("why", "misread")]].concat();
        let address = format!("{visit}/{what}/correct");
        let done = served.post(&address, &browser, &fields);
        assert_eq!(done.await.status, 303, "{what}");
    }
    let of_visit = page(&visit).await;
    assert!(of_visit.contains("<td>120 kgf</td>") && of_visit.contains("“light as ever”"));
    served.end().await;
}

#[tokio::test]
async fn who_works_here_is_entered_and_says_so_with_one_tap() {
    let served = Served::new().await;
    let browser = served.browser().await;
    let unsaid = [("name", "Maren Holt"), ("initials", " ")];
    let refused = served.post("/settings/mechanics", &browser, &unsaid).await;
    assert_eq!(refused.status, 422, "{}", refused.body);
    let said = [("name", "Maren Holt"), ("initials", "MH")];
    let entered = served.post("/settings/mechanics", &browser, &said).await;
    assert_eq!(entered.status, 303);
    let page = served.get("/settings", Some(&browser)).await.body;
    assert!(page.contains("That is me: Maren Holt"), "{page}");
    let tapped = served
        .post("/settings/who", &browser, &[("name", "MH")])
        .await;
    assert_eq!(tapped.status, 303);
    assert!(tapped.head.contains("rimwright-by="), "{}", tapped.head);
    let all = served.shop.mechanics().await.expect("read");
    let of = [("of", all[0].entry.id.as_str()), ("to", "/settings")];
    let out = served.post("/withdraw", &browser, &of).await;
    assert_eq!(out.header("location"), Some("/settings"));
    let left = served.shop.mechanics().await.expect("read");
    assert!(left.is_empty(), "{left:?}");
    served.end().await;
}

#[tokio::test]
async fn turn_without_a_plan_is_noted_at_the_visit() {
    let served = Served::new().await;
    let browser = served.browser().await;
    let lap = served.lap().await;
    let lap = lap.trim_start_matches("/laps/").parse().expect("an id");
    let lap = served.shop.lap(lap).await.expect("a lap");
    let visit = format!("/visits/{}", lap.visit);
    let turns = format!("{visit}/turns");
    for (spoke, far, way, status) in [
        ("3", "1/4", "tighter", 303),
        ("4", "0,5", "looser", 303),
        ("3", "1/0", "tighter", 422),
        ("3", "-1", "tighter", 422),
        ("99", "1", "tighter", 422),
        ("3", "", "tighter", 422),
        ("3", "1", "round", 400),
    ] {
        let fields = [("spoke", spoke), ("far", far), ("way", way)];
        let answer = served.post(&turns, &browser, &fields).await;
        assert_eq!(answer.status, status, "{fields:?}: {}", answer.body);
    }
    let page = served.get(&visit, Some(&browser)).await.body;
    assert!(page.contains("Spoke 3 tightened by 0.25 turns"), "{page}");
    assert!(page.contains("Spoke 4 loosened by 0.5 turns"), "{page}");
    let life = served.shop.visit(lap.visit.parse().expect("an id")).await;
    let first = life.expect("a visit").turned_without_plan[0]
        .entry
        .entry
        .clone();
    let back = format!("{turns}/back");
    let answer = served.post(&back, &browser, &[("seen", &first)]).await;
    assert_eq!(answer.status, 303);
    let page = served.get(&visit, Some(&browser)).await.body;
    assert!(!page.contains("Spoke 3 tightened"), "{page}");
    served.end().await;
}

#[tokio::test]
async fn what_was_taken_out_is_listed_and_brought_back() {
    let served = Served::new().await;
    let browser = served.browser().await;
    let lap = served.lap().await;
    let lap = lap.trim_start_matches("/laps/").parse().expect("an id");
    let lap = served.shop.lap(lap).await.expect("a lap");
    let (visit, wheel) = (
        format!("/visits/{}", lap.visit),
        format!("/wheels/{}", lap.wheel_label),
    );
    let page = async |address: &str| served.get(address, Some(&browser)).await;
    let list = "/out-of-view";
    assert!(page(list).await.body.contains("Nothing is out of view"));
    let noted = served
        .post(&format!("{visit}/weighings"), &browser, &[("mass", "812")])
        .await;
    assert_eq!(noted.status, 303);
    let mass = page(&visit).await.field("of");
    for thing in [mass.as_str(), &lap.wheel] {
        let out = served.post("/withdraw", &browser, &[("of", thing)]).await;
        assert_eq!(out.status, 303);
    }
    let shown = page(list).await;
    let (of_wheel, of_mass) = (
        shown
            .body
            .find("<strong>wheel</strong>")
            .expect("the wheel"),
        shown
            .body
            .find("<strong>weighing</strong> 812 g")
            .expect("the mass"),
    );
    assert!(of_wheel < of_mass, "the last that went stands first");
    assert!(shown.body.contains(&lap.wheel_label), "{}", shown.body);
    // The first form brings the wheel back, the next one the mass.
    for left in [1, 0] {
        let withdrawal = page(list).await.field("withdrawal");
        let fields = [("withdrawal", withdrawal.as_str())];
        let back = served.post(list, &browser, &fields).await;
        assert_eq!(back.status, 303);
        let again = served.post(list, &browser, &fields).await;
        assert_eq!(again.status, 409, "somebody was quicker");
        let shown = page(list).await.body;
        assert_eq!(shown.matches("name=\"withdrawal\"").count(), left);
    }
    assert!(page("/").await.body.contains(&wheel));
    assert!(page(&visit).await.body.contains("812 g"));
    served.end().await;
}

/// A form that names what stands on another page writes nothing there.
#[tokio::test]
async fn what_stands_on_another_page_is_not_corrected_from_this_one() {
    use workshop::records::entry::State;
    use workshop::records::{LimitAsked, Pen};
    let served = Served::new().await;
    let browser = served.browser().await;
    let (here, there) = (served.lap().await, served.lap().await);
    let of = async |lap: &str| {
        let id = lap.trim_start_matches("/laps/").parse().expect("an id");
        served.shop.lap(id).await.expect("a lap")
    };
    let (this, other) = (of(&here).await, of(&there).await);
    let pen = Pen::of("M");
    let limit = LimitAsked {
        part: "rim".into(),
        value: "125 kgf".into(),
        state: Some(State::Bare),
        source: "sticker".into(),
        ..LimitAsked::default()
    };
    let wheel = this.wheel.parse().expect("an id");
    let limit = served.shop.note_limit(&pen, wheel, limit).await;
    let limit = limit.expect("a limit").id.to_string();
    let visit = this.visit.parse().expect("an id");
    let mass = served.shop.weigh(&pen, visit, Vec::new(), "812", None);
    let mass = mass.await.expect("a mass").id.to_string();
    let typed = workshop::records::Typed {
        raw: "21".into(),
        value: 21.0,
    };
    let lap = this.entry.id.parse().expect("an id");
    let reading = served.shop.take(&pen, lap, 1, &typed).await;
    let reading = reading.expect("taken").id.to_string();
    let wheel = format!("/wheels/{}/limits/correct", other.wheel_label);
    let weighings = format!("/visits/{}/weighings/correct", other.visit);
    let why = ("why", "a slip");
    for (address, fields) in [
        (
            wheel.as_str(),
            vec![("seen", limit.as_str()), why, ("value", "90 kgf")],
        ),
        (&weighings, vec![("seen", &mass), why, ("mass", "900")]),
        (
            &there,
            vec![("seen", &reading), ("number", "1"), ("raw", "25")],
        ),
        (&there, vec![("do", "undo"), ("last", &reading)]),
        (
            &format!("{there}/about"),
            vec![("seen", &this.entry.entry), ("state", "tyred")],
        ),
    ] {
        let answer = served.post(address, &browser, &fields).await;
        assert_eq!(answer.status, 404, "{address} {fields:?}");
    }
    let life = served.shop.life(this.wheel.parse().expect("an id")).await;
    let life = life.expect("a life");
    assert_eq!(life.limits[0].value, 125.0);
    assert_eq!(life.visits[0].weighings[0].raw, "812");
    let stands = of(&here).await;
    assert_eq!(stands.state, "bare");
    let reading = stands.places[0].reading.as_ref();
    assert_eq!(reading.map(|reading| reading.raw.as_str()), Some("21"));
    served.end().await;
}
