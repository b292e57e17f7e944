//! The whole page.

use serde::Serialize;

use crate::assess::assessment::PictureIssue;
use crate::assess::gaps::lacks::Caution;
use crate::assess::gaps::silence::Silence;
use crate::assess::gaps::silence::Unexamined;
use crate::assess::part_report::PartReport;
use crate::kit::text::capital;
use crate::report::Packing;
use crate::report::drawing::view::DrawingView;
use crate::report::page::code::code;
use crate::report::page::context::PageContext;
use crate::report::page::names;
use crate::report::page::paper;
use crate::report::page::policy;
use crate::report::page::shop::ShopView;
use crate::report::page::templates::style_of;
use crate::report::page::templates::text_of;
use crate::report::page::words;
use crate::report::sections::findings::schedule::RowView;
use crate::report::sections::findings::state::StateView;
use crate::report::sections::glance::GlanceView;
use crate::report::sections::head::DraftView;
use crate::report::sections::head::HeadView;
use crate::report::sections::head::not_in_force;
use crate::report::sections::living::Beside;
use crate::report::sections::living::FitView;
use crate::report::sections::living::LivingView;
use crate::report::sections::made::MadeView;
use crate::report::sections::method::MethodView;
use crate::report::sections::pictures::ShootView;
use crate::report::sections::pictures::all_kept;
use crate::report::sections::pictures::grouped;
use crate::report::sections::private::PrivateView;
use crate::report::sections::remarks::GroupView;
use crate::report::sections::sale::SaleView;
use crate::report::sections::sealed;
use crate::report::sections::section::Section;
use crate::report::sections::section::SectionView;
use crate::report::sections::section::Sections;
use crate::report::sections::work::changed::ChangedView;
use crate::report::sections::work::changed::PairView;
use crate::report::sections::work::changed::views;
use crate::tongue::Language;
use crate::tongue::Saying;
use crate::tongue::Tongue;
use crate::tongue::plain;
use crate::tongue::say;

/// Everything the page prints.
#[derive(Clone, Debug, Serialize)]
pub(in crate::report) struct PageView {
    /// The language of the page.
    language: Language,
    /// What was told only after the pictures from after the sale.
    late: Option<String>,
    /// Which sections are in English, where the page is not.
    english: Option<String>,
    /// What stands on every page.
    say: SayPage,
    /// Title of the document.
    title: String,
    /// What the page may load: nothing but itself.
    policy: String,
    /// The style sheet.
    style: String,
    /// The script; the page reads without it.
    script: &'static str,
    /// Its sections.
    sections: Vec<SectionView>,
    head: HeadView,
    /// The same, for how to know the piece again.
    what: HeadView,
    draft: Option<DraftView>,
    not_in_force: Option<String>,
    glance: GlanceView,
    drawing: DrawingView,
    made: MadeView,
    state: StateView,
    remarks: Vec<GroupView>,
    noted: Vec<u32>,
    changed: ChangedView,
    /// The same views of the piece.
    views: Vec<PairView>,
    /// Every part.
    schedule: Vec<RowView>,
    unexamined: Vec<SilenceView>,
    cautions: Vec<CautionView>,
    living: LivingView,
    fit: FitView,
    method: MethodView,
    shop: ShopView,
    sale: SaleView,
    shoots: Vec<ShootView>,
    small: Vec<String>,
    /// Whether every picture has its original.
    all_kept: bool,
    private: Option<PrivateView>,
    sealed: Vec<String>,
    /// The key of the seal that is named; empty when none is.
    key: String,
    /// The seal to scan, as SVG.
    code: String,
}

/// What stands on every page, in its language.
#[derive(Clone, Debug, Serialize)]
struct SayPage {
    skip: String,
    name: String,
    contents: String,
    draft: String,
    no_cover: String,
    using: String,
    carrying: String,
    practice: String,
    new: String,
    why: String,
    key: String,
    code: String,
    beside: String,
    by_hand: String,
    views_none: String,
    work_in_words: String,
    work_none: String,
    repair: String,
    for_which: String,
    covered_are: String,
    levels: String,
    covered: String,
    lang: String,
}

impl SayPage {
    fn new(sources: &PageContext<'_>, hidden: usize) -> Self {
        let said = |it: Saying| sources.said(&it);
        Self {
            skip: said(say::report_skip()),
            name: said(say::report_name()),
            contents: said(say::report_contents()),
            draft: said(say::draft_stamp()),
            no_cover: said(say::no_cover()),
            using: said(say::glance_use()),
            carrying: said(say::glance_carry()),
            practice: said(say::glance_practice()),
            new: said(say::glance_new()),
            why: said(say::glance_why()),
            key: said(say::glance_key()),
            code: said(say::glance_code()),
            beside: said(say::not_on_a_face()),
            by_hand: said(say::views_by_hand()),
            views_none: said(say::views_none()),
            work_in_words: said(say::work_in_words()),
            work_none: said(say::work_none()),
            repair: said(say::work_heading()),
            for_which: said(say::work_for()),
            covered_are: said(say::work_covered_are()),
            levels: said(say::method_levels()),
            covered: said(say::work_covered(hidden)),
            lang: english(sources.tongue().language),
        }
    }
}

/// The attribute that says that a text is English; empty on a page that is.
fn english(page: Language) -> String {
    match page {
        Language::English => String::new(),
        Language::German | Language::French => format!(" lang=\"{}\"", Language::English),
    }
}

/// One of the silences.
#[derive(Clone, Debug, Serialize)]
struct SilenceView {
    title: &'static str,
    about: &'static str,
    lines: Vec<UnexaminedView>,
}

/// Something nobody examined.
#[derive(Clone, Debug, Serialize)]
struct UnexaminedView {
    what: String,
    why: String,
}

/// A heading and its lines.
#[derive(Clone, Debug, Serialize)]
struct CautionView {
    title: String,
    lines: Vec<String>,
}

impl PageView {
    /// Of an assessment.
    pub(in crate::report) fn new(pages: Sections<'_, '_>) -> Self {
        let sources = pages.own;
        let assessment = sources.assessment;
        let head = HeadView::new(sources);
        let draft = DraftView::new(sources);
        let title = plain(&head.title);
        let running = [&head.stock_no, &title, &head.edition].map(String::as_str);
        let stamp = draft.as_ref().map(|_| sources.said(&say::draft_stamp()));
        let style = format!(
            "{}\n{}",
            style_of(&["palette.css", "style.css"]),
            paper::running(sources.scene.country.as_deref(), &running, stamp.as_deref())
        );
        let script = text_of("slide.js").trim();
        let private = PrivateView::new(pages.of(Section::Owner));
        let sections = pages.views(private.is_some());
        let cautions = assessment.cautions.iter();
        let safety = pages.of(Section::Safety);
        let named = sources.order.code.as_ref();
        let pictures = pages.of(Section::Pictures);
        let name = match draft.is_some() {
            true => say::report_title_draft(&*head.stock_no, &*title),
            false => say::report_title(&*head.stock_no, &*title),
        };
        let changed = ChangedView::new(pages.of(Section::Changed));
        Self {
            language: sources.tongue().language,
            late: late(sources),
            english: pages.in_english(&sections),
            say: SayPage::new(sources, changed.hidden.len()),
            title: capital(&sources.said(&name)),
            policy: policy_of(sources.order.packing, &style, script),
            style,
            script,
            sections,
            draft,
            not_in_force: not_in_force(sources),
            glance: GlanceView::new(sources),
            drawing: DrawingView::new(sources),
            made: MadeView::new(pages.of(Section::Made)),
            state: StateView::new(pages.of(Section::State)),
            remarks: GroupView::all(pages.of(Section::Seen)),
            noted: noted(sources),
            changed,
            views: views(pages.of(Section::Views)),
            schedule: RowView::all(pages.of(Section::Parts)),
            unexamined: unexamined(pages.of(Section::Unexamined)),
            cautions: cautions.map(|it| CautionView::new(safety, it)).collect(),
            living: LivingView::new(safety),
            fit: FitView::new(sources, Beside::Sections),
            method: MethodView::new(pages.of(Section::Method)),
            shop: ShopView::of(sources.scene),
            sale: SaleView::new(safety),
            shoots: ShootView::all(pictures),
            small: [PictureIssue::Small, PictureIssue::RawPreview]
                .map(|it| grouped(pictures, it))
                .concat(),
            all_kept: all_kept(sources),
            private,
            sealed: sealed::lines(sources.order),
            key: named.map_or_else(String::new, |it| it.fingerprint.clone()),
            code: named.map_or_else(String::new, |it| code(&it.line, sources.tongue())),
            what: HeadView::new(pages.of(Section::What)),
            head,
        }
    }
}

/// What was told only after the pictures from after the sale had come in.
fn late(sources: &PageContext<'_>) -> Option<String> {
    let late = sources.order.late.as_ref();
    late.map(|it| sources.said(&it.said()))
}

/// Numbers of the pictures beside which a note on the whole picture is written.
fn noted(sources: &PageContext<'_>) -> Vec<u32> {
    let photos = sources.assessment.photos.iter();
    let noted = photos.filter(|it| it.sidecar.note.is_some());
    noted.map(|it| it.no).collect()
}

/// What the page may load.
fn policy_of(packing: Packing, style: &str, script: &str) -> String {
    let images = match packing {
        Packing::OneFile => "data:",
        // The logo lies in the page.
        Packing::Folder => "'self' data:",
    };
    policy::text(images, style, script)
}

impl CautionView {
    fn new(sources: &PageContext<'_>, it: &Caution) -> Self {
        Self {
            title: sources.said(&it.title),
            lines: sources.all_said(&it.lines),
        }
    }
}

/// The silences, what each is called, and what it means.
const SILENCES: [(Silence, &str, &str); 9] = [
    (Silence::NotExamined, "Not examined", ""),
    (
        Silence::Nothing,
        "No statement",
        "Nobody wrote anything about these; that is no statement that they are sound.",
    ),
    (
        Silence::NotJudged,
        "No statement on faults",
        "Something was seen of these, and nobody said whether there are faults.",
    ),
    (
        Silence::NotSettled,
        "Not settled",
        "Nothing on record says what became of these.",
    ),
    (Silence::NotSeenSince, "Not seen since", ""),
    (Silence::NotTested, "Not tested", ""),
    (Silence::TestedInPart, "Partly tested", ""),
    (Silence::NotPictured, "Not pictured", ""),
    (
        Silence::TakenOut,
        "Taken out",
        "The pictures of these views are no longer in the record.",
    ),
];

/// What was not examined for one reason; of several findings the numbers.
fn named(parts: &[PartReport], things: &[&Unexamined]) -> String {
    let numbers = things.iter().map(|it| Some(it.finding?.to_string()));
    match numbers.collect::<Option<Vec<String>>>() {
        Some(numbers) if numbers.len() > 1 => words::listed(&numbers),
        _ => names::things(parts, things, Tongue::ENGLISH).join("; "),
    }
}

/// What was not examined, silence by silence; things with the same reason stand together.
fn unexamined(sources: &PageContext<'_>) -> Vec<SilenceView> {
    let parts = &sources.assessment.parts;
    let of = |(silence, title, about)| {
        let mut reasons: Vec<(&str, Vec<&Unexamined>)> = Vec::new();
        let lines = sources.assessment.not_examined.iter();
        for line in lines.filter(|it| it.silence == silence) {
            match reasons.iter_mut().find(|it| it.0 == line.why) {
                Some((_, things)) => things.push(line),
                None => reasons.push((&line.why, vec![line])),
            }
        }
        let lines = reasons.into_iter().map(|(why, things)| UnexaminedView {
            what: named(parts, &things),
            why: words::sentence(&capital(why)),
        });
        SilenceView {
            title,
            about,
            lines: lines.collect(),
        }
    };
    let all = SILENCES.into_iter().map(of);
    all.filter(|it| !it.lines.is_empty()).collect()
}
