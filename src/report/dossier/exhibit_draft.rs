//! One exhibit while it is laid out: what it is about, its facts, and the pictures that show it.

use crate::assess::assessment::Pair;
use crate::assess::assessment::PairAbout;
use crate::assess::findings::finding::Finding;
use crate::assess::findings::sighting::MarkAt;
use crate::assess::findings::sighting::Sighting;
use crate::assess::part_report::PartReport;
use crate::assess::statements::statement::Lost;
use crate::assess::statements::statement::Missed;
use crate::kit::text::capital;
use crate::model::photo::Photo;
use crate::model::photo::Stage;
use crate::report::ShotKind;
use crate::report::dossier::cover_order::CoverRequest;
use crate::report::dossier::exhibit_facts::answers;
use crate::report::dossier::exhibit_facts::facts;
use crate::report::dossier::exhibit_facts::in_picture;
use crate::report::dossier::exhibit_facts::lost_then;
use crate::report::dossier::in_book::later;
use crate::report::dossier::lines::line_told::PaperKept;
use crate::report::dossier::strip::StripView;
use crate::report::page::context::PageContext;
use crate::report::page::fact_view::FactView;
use crate::report::page::words;
use crate::report::sections::figure::FigureView;
use crate::report::sections::work::changed::PairView;
use crate::trade;

/// An exhibit while it is being laid out.
#[derive(Default)]
pub(in crate::report::dossier) struct Draft {
    pub(in crate::report::dossier) title: String,
    pub(in crate::report::dossier) answers: Vec<String>,
    pub(in crate::report::dossier) facts: Vec<FactView>,
    pub(in crate::report::dossier) strip: Vec<FigureView>,
    pub(in crate::report::dossier) strip_words: String,
    pub(in crate::report::dossier) pairs: Vec<PairView>,
    pub(in crate::report::dossier) figures: Vec<FigureView>,
    pub(in crate::report::dossier) photos: Vec<u32>,
    pub(in crate::report::dossier) sha256: String,
}

impl Draft {
    fn pair(&mut self, sources: &PageContext<'_>, pair: &Pair) {
        if let Some(mut view) = PairView::new(sources, pair) {
            let sides = [
                (&mut view.before, pair.before),
                (&mut view.after, pair.after),
            ];
            // Of a picture without a mark, what was written of it says why it may not show the place.
            for (figure, side) in sides.into_iter().filter(|it| it.1.mark.is_none()) {
                let note = sources
                    .photo(side.photo)
                    .and_then(|it| it.sidecar.note.as_deref());
                figure.notes.extend(note.map(words::noted));
            }
            self.pairs.push(view);
            self.saw(pair.before.photo);
            self.saw(pair.after.photo);
        }
    }

    fn saw(&mut self, photo: u32) {
        if !self.photos.contains(&photo) {
            self.photos.push(photo);
        }
    }

    pub(in crate::report::dossier) fn of_finding(
        sources: &PageContext<'_>,
        cover: &CoverRequest,
        finding: &Finding,
    ) -> Self {
        let what = format!("{}, {}", finding.term, finding.placed());
        let mut it = Self {
            title: format!("{}: {what}", finding.no),
            answers: answers(sources, cover, finding),
            facts: facts(sources, cover, finding),
            ..Self::default()
        };
        if let Some(strip) = StripView::of(sources, finding, &what) {
            (it.strip, it.strip_words) = (strip.figures, strip.words);
            strip.photos.into_iter().for_each(|no| it.saw(no));
        }
        let about = PairAbout::Finding(finding.no);
        let pairs = sources.assessment.pairs.iter();
        let pairs: Vec<&Pair> = pairs.filter(|it| it.about == about).collect();
        let named = |it: &&&Pair| cover.photos.contains(&it.after.photo);
        let chosen: Vec<&&Pair> = match pairs.iter().any(|it| named(&it)) {
            true => pairs.iter().filter(named).collect(),
            false => pairs.iter().collect(),
        };
        for pair in chosen {
            it.pair(sources, pair);
        }
        // A picture that was named stands here, also where it is no side of a pair.
        let marks = || {
            finding
                .history
                .iter()
                .flat_map(|it| it.marks.iter().copied())
        };
        let named: Vec<MarkAt> = marks()
            .filter(|at| cover.photos.contains(&at.photo))
            .collect();
        let telling = || {
            let looks = finding.history.iter();
            let looks = looks.filter(|it| it.state.tells());
            looks.flat_map(|it| it.marks.iter().copied())
        };
        let ends = [telling().next(), telling().last()];
        let wanted = match it.pairs.is_empty() && named.is_empty() {
            true => ends.into_iter().flatten().collect(),
            false => named,
        };
        for at in wanted.into_iter().chain(it.turns(sources, cover, finding)) {
            if let Some(photo) = sources
                .photo(at.photo)
                .filter(|_| !it.photos.contains(&at.photo))
            {
                let tag = finding.no.to_string();
                let figure = FigureView::of_mark(sources, photo, at.mark, &tag, &what);
                it.figures.push(figure);
                it.saw(at.photo);
            }
        }
        it
    }

    /// Of each turn in what is said of a fault that no picture here shows yet, the best mark; nothing where pictures were named.
    fn turns(
        &self,
        sources: &PageContext<'_>,
        cover: &CoverRequest,
        finding: &Finding,
    ) -> Vec<MarkAt> {
        if !cover.photos.is_empty() {
            return Vec::new();
        }
        let shown = |it: &&Sighting| it.marks.iter().any(|at| self.photos.contains(&at.photo));
        let looks = finding.turns().into_iter().filter(|it| !shown(it));
        let best = |it: &Sighting| sources.best_mark(it).or_else(|| it.marks.first().copied());
        looks.filter_map(best).collect()
    }

    /// A part that was there: the picture in which it was last found sound, and the first in which it is absent.
    pub(in crate::report::dossier) fn of_lost(
        sources: &PageContext<'_>,
        cover: &CoverRequest,
        part: &PartReport,
        lost: &Lost,
    ) -> Self {
        let mut it = Self {
            title: format!("{}: there, then absent", part.label),
            answers: lost_then(sources, cover, part, lost),
            facts: vec![FactView::new("Then and now", words::lost(lost))],
            ..Self::default()
        };
        for no in [lost.was.photo(), lost.photo] {
            if let Some(photo) = sources.photo(no) {
                it.whole(sources, photo);
            }
        }
        it
    }

    /// A part that is absent, and of which nobody wrote before that it was sound: the picture beside which that is written, and the newest
    /// before it that is said to show the part, with what is marked there; where it was told of the piece, that.
    pub(in crate::report::dossier) fn of_absent(
        sources: &PageContext<'_>,
        cover: &CoverRequest,
        part: &PartReport,
        missed: &Missed,
    ) -> Self {
        let title = format!("{}: absent", part.label);
        let Some(absent) = missed.photo() else {
            let later = later(sources, cover, &part.part, &|_, _| false);
            let told = format!("Absent, {}.", words::told_of_piece(missed.told()));
            let answers = match later.is_empty() {
                true => vec![told],
                false => later,
            };
            return Self {
                title,
                answers,
                ..Self::default()
            };
        };
        let photos = &sources.assessment.photos;
        let earlier = photos.iter().take_while(|it| it.no != absent);
        let shown = earlier.filter(|it| part.photos.contains(&it.no)).last();
        let day = |photo: &Photo| sources.shoot_of(photo).map(|it| it.day.spoken());
        let of = |photo: &Photo| {
            let day = day(photo).map_or_else(String::new, |it| format!(" of {it}"));
            format!("picture {}{day}", photo.no)
        };
        let now = sources.photo(absent).map(of).unwrap_or_default();
        let then = match shown {
            Some(it) => format!(
                "{} is said to show the part; nobody wrote there that it was sound.",
                capital(&of(it))
            ),
            None => "No earlier picture is said to show it.".to_owned(),
        };
        let mut it = Self {
            title,
            answers: vec![format!("Absent, as written beside {now}. {then}")],
            ..Self::default()
        };
        for photo in shown.into_iter().chain(sources.photo(absent)) {
            it.whole(sources, photo);
        }
        it.told(sources);
        it
    }

    /// The last picture of a view before the piece left and the first after; `None` when nobody took it.
    pub(in crate::report::dossier) fn of_view(
        sources: &PageContext<'_>,
        cover: &CoverRequest,
        view: &str,
    ) -> Option<Self> {
        let photos = sources.assessment.photos.iter();
        let photos = photos.filter(|it| it.sidecar.view.as_deref() == Some(view));
        let left = |it: &&&Photo| {
            sources
                .shoot_of(it)
                .is_some_and(|shoot| shoot.stage.after_sale())
        };
        let (after, before): (Vec<&Photo>, Vec<&Photo>) = photos.partition(|it| left(&it));
        let sides = [before.last(), after.first()];
        // Where the newest is of the handover, the one of the sale stands before it.
        let at_van = |it: &&&Photo| {
            sources
                .shoot_of(it)
                .is_some_and(|shoot| shoot.stage == Stage::Handover)
        };
        let van = before.last().filter(|it| at_van(it));
        let sale = van.and_then(|_| before.iter().rev().find(|it| !at_van(it)));
        let mut it = Self {
            title: capital(&sources.view_label(view)),
            ..Self::default()
        };
        for photo in [sale].into_iter().chain(sides).flatten() {
            it.whole(sources, photo);
        }
        it.told(sources);
        let fixed = trade::book().view(view).is_some_and(|it| it.fixed);
        let lacks = match sides {
            [Some(_), None] => Some("after"),
            [None, Some(_)] => Some("before"),
            _ => None,
        };
        let lacks = lacks.filter(|_| fixed);
        it.facts.extend(lacks.map(|side| {
            let said =
                format!("The record has no picture of this view from {side} the piece left.");
            FactView::new("Missing", said)
        }));
        let out = cover.taken_out.iter();
        let out = out.filter(|it| it.view.as_deref() == Some(view));
        it.facts.extend(out.map(|it| {
            let said = format!(
                "Picture {} ({}) had this view too; it was taken out of the record on {}.",
                it.photo,
                it.stage,
                it.out.spoken()
            );
            FactView::new("Taken out", said)
        }));
        (!it.figures.is_empty()).then_some(it)
    }

    /// A picture that was named and shows no finding: beside the same view from before, if there is one.
    pub(in crate::report::dossier) fn of_photo(sources: &PageContext<'_>, photo: &Photo) -> Self {
        let view = photo.sidecar.view.as_deref();
        let mut it = Self {
            title: view.map_or_else(
                || format!("Picture {}", photo.no),
                |view| capital(&sources.view_label(view)),
            ),
            ..Self::default()
        };
        let pairs = sources.assessment.pairs.iter();
        let mut pairs =
            pairs.filter(|it| matches!(it.about, PairAbout::View(_)) && it.after.photo == photo.no);
        match pairs.next() {
            Some(pair) => it.pair(sources, pair),
            None => it.whole(sources, photo),
        }
        it.told(sources);
        it
    }

    /// A paper or message that was kept: where it lies, and what the ledger says of it.
    pub(in crate::report::dossier) fn of_paper(paper: &PaperKept) -> Self {
        let seal = paper
            .seal
            .map_or_else(|| "no seal".to_owned(), |it| format!("seal {it}"));
        let place = paper.place.as_deref().unwrap_or("not enclosed");
        Self {
            title: format!("Paper or message kept: {}", paper.name),
            facts: vec![
                FactView::new("Kept on", paper.on.spoken()),
                FactView::new("File", place),
                FactView::new("Ledger", format!("line {}, {seal}", paper.line)),
            ],
            sha256: paper.sha256.clone(),
            ..Self::default()
        }
    }

    /// What is marked and seen in the pictures of an exhibit that is about no fault of its own, picture by picture.
    fn told(&mut self, sources: &PageContext<'_>) {
        for no in &self.photos {
            let lines = in_picture(sources, *no);
            if !lines.is_empty() {
                let name = format!("Said of picture {no}");
                self.facts.push(FactView { name, lines });
            }
        }
    }

    fn whole(&mut self, sources: &PageContext<'_>, photo: &Photo) {
        let alt = format!("{}, whole picture", self.title);
        let figure = FigureView::whole(sources, photo, ShotKind::Large, &alt);
        self.figures.push(figure);
        self.saw(photo.no);
    }
}
