//! Laws of every document, whatever its words.

use proptest::prelude::*;
use report::document::{
    Block, Document, Fact, Notice, OnPaper, Section, Standing, Text, Verdict, Weight,
};
use report::table::{Column, Row, Table};

fn text() -> impl Strategy<Value = Text> {
    (
        any::<String>(),
        prop::collection::vec(any::<String>(), 0..3),
    )
        .prop_map(|(words, sources)| Text { words, sources })
}

fn block() -> impl Strategy<Value = Block> {
    let fact = (any::<String>(), text()).prop_map(|(term, says)| Fact { term, says });
    let table = (
        text(),
        prop::collection::vec(prop::array::uniform2(text()), 0..4),
    )
        .prop_map(|(caption, rows)| Table {
            caption,
            columns: vec![Column::words("a"), Column::numbers("b", "mm")],
            rows: rows
                .into_iter()
                .map(|cells| Row {
                    cells: cells.into(),
                    mark: None,
                })
                .collect(),
        });
    let notice = (any::<String>(), text()).prop_map(|(heading, says)| Notice {
        weight: Weight::Caution,
        heading,
        says,
    });
    prop_oneof![
        text().prop_map(Block::Paragraph),
        prop::collection::vec(text(), 0..3).prop_map(Block::List),
        prop::collection::vec(text(), 0..3).prop_map(Block::Steps),
        prop::collection::vec(fact, 0..3).prop_map(Block::Facts),
        table.prop_map(Block::Table),
        notice.prop_map(Block::Notice),
    ]
}

fn document() -> impl Strategy<Value = Document> {
    let section =
        (any::<String>(), prop::collection::vec(block(), 0..4)).prop_map(|(heading, blocks)| {
            Section {
                heading,
                on_paper: OnPaper::NewPage,
                blocks,
            }
        });
    (
        any::<[String; 3]>(),
        text(),
        prop::collection::vec(section, 0..3),
    )
        .prop_map(|([lang, title, code_line], sentence, sections)| Document {
            lang,
            title,
            about: Vec::new(),
            verdict: Verdict {
                sentence,
                standing: Standing::Against,
                grounds: Vec::new(),
            },
            sections,
            signature: None,
            code_line,
        })
}

/// Elements that a document may hold; no words of a user make another.
const KNOWN: [&str; 36] = [
    "body",
    "main",
    "header",
    "footer",
    "section",
    "aside",
    "h1",
    "h2",
    "h3",
    "p",
    "ul",
    "ol",
    "li",
    "dl",
    "dt",
    "dd",
    "div",
    "span",
    "sup",
    "a",
    "table",
    "caption",
    "thead",
    "tbody",
    "tr",
    "th",
    "td",
    "figure",
    "figcaption",
    "svg",
    "circle",
    "path",
    "line",
    "rect",
    "text",
    "title",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    #[test]
    fn words_stay_words(document in document()) {
        let file = report::html::write(&document).expect("no numbers to refuse");
        let body = &file[file.find("<body>").expect("a body")..file.find("</html>").expect("an end")];
        let tree = roxmltree::Document::parse(body).expect("well-formed");
        for node in tree.descendants().filter(roxmltree::Node::is_element) {
            prop_assert!(KNOWN.contains(&node.tag_name().name()), "{:?}", node.tag_name());
            prop_assert!(!node.attributes().any(|attribute| attribute.name().starts_with("on")));
        }
        let heading = tree.descendants().find(|node| node.has_tag_name("h1")).expect("a title");
        let letters = |words: &str| words.chars().filter(|letter| letter.is_alphanumeric()).collect::<String>();
        prop_assert_eq!(letters(heading.text().unwrap_or_default()), letters(&document.title));
    }

    #[test]
    fn a_row_that_does_not_fit_is_refused(cells in prop::collection::vec("[a-z]{1,3}", 0..5)) {
        let fits = cells.len() == 2;
        let row = Row { cells: cells.into_iter().map(Text::from).collect(), mark: None };
        let table = Table { caption: "t".into(), columns: vec![Column::words("a"), Column::words("b")], rows: vec![row] };
        let document = Document {
            lang: "en".into(),
            title: "t".into(),
            about: Vec::new(),
            verdict: Verdict { sentence: "s".into(), standing: Standing::Open, grounds: Vec::new() },
            sections: vec![Section { heading: "h".into(), on_paper: OnPaper::Follows, blocks: vec![Block::Table(table)] }],
            signature: None,
            code_line: String::new(),
        };
        prop_assert_eq!(report::html::write(&document).is_ok(), fits);
    }
}
