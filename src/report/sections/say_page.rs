//! What stands on every report, in the language of the section where it stands.

use serde::Serialize;

use crate::report::sections::section::Section;
use crate::report::sections::section::Sections;
use crate::tongue::Language;
use crate::tongue::Saying;
use crate::tongue::say;

macro_rules! page {
    ($($section:ident { $($name:ident: $said:expr;)* })*) => {
        /// What stands on every page, in its language.
        #[derive(Clone, Debug, Serialize)]
        pub(in crate::report) struct SayPage {
            $($($name: String,)*)*
            /// Between the items of a list, and its sign alone.
            then: String,
            semicolon: String,
            covered: String,
            lang: String,
        }

        impl SayPage {
            /// Of a page on which so many findings are hidden.
            pub(in crate::report) fn new(pages: Sections<'_, '_>, hidden: usize) -> Self {
                let said = |section: Section, it: Saying| pages.of(section).said(&it);
                let then = pages.own.tongue().parted(&[String::new(), String::new()]);
                Self {
                    $($($name: said(Section::$section, $said),)*)*
                    semicolon: then.trim_end().to_owned(),
                    then,
                    covered: said(Section::Changed, say::work_covered(hidden)),
                    lang: english(pages.own.tongue().language),
                }
            }
        }
    };
}

page! {
    Glance {
        skip: say::report_skip();
        name: say::report_name();
        contents: say::report_contents();
        draft: say::draft_stamp();
        draft_rely: say::draft_rely();
        not_issued: say::draft_not_issued();
        no_cover: say::no_cover();
        using: say::glance_use();
        carrying: say::glance_carry();
        practice: say::glance_practice();
        new: say::glance_new();
        why: say::glance_why();
        key: say::glance_key();
        code: say::glance_code();
    }
    Drawn {
        beside: say::not_on_a_face();
    }
    State {
        none_on_record: say::none_on_record();
    }
    Views {
        by_hand: say::views_by_hand();
        views_none: say::views_none();
    }
    Changed {
        work_in_words: say::work_in_words();
        work_none: say::work_none();
        repair: say::work_heading();
        for_which: say::work_for();
        covered_are: say::work_covered_are();
    }
    Made {
        unsettled: say::made_unsettled();
        woods: say::made_woods();
        when: say::made_when();
        aside: say::made_aside();
        no_certificate: say::made_no_certificate();
    }
    Seen {
        no_fault: say::seen_no_fault();
        nothing_seen: say::seen_none();
        seen_notes: say::seen_notes();
    }
    Unexamined {
        silences: say::silent_claims();
    }
    Parts {
        parts_about: say::parts_silences();
        schedule: say::parts_schedule();
        part_state: say::parts_state();
        part_name: say::parts_name();
    }
    Safety {
        local: say::safety_local();
        general: say::safety_general();
        moves: say::safety_moves();
        sale: say::sale_title();
        arrival: say::arrival_title();
        arrival_views: say::arrival_views();
    }
    What {
        sellers_words: say::sellers_words();
        sides: say::sides();
        claims: say::claims_borne();
    }
    Check {
        check_digest: say::check_digest();
        check_clock: say::check_clock();
        check_how: say::check_how();
    }
    Pictures {
        pictures_made: say::pictures_made();
        pictures_kept: say::pictures_kept();
    }
    Method {
        levels: say::method_levels();
    }
}

/// The attribute that says that a text is English; empty on a page that is.
fn english(page: Language) -> String {
    match page {
        Language::English => String::new(),
        Language::German | Language::French => format!(" lang=\"{}\"", Language::English),
    }
}
