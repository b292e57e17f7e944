//! The words of a report's page, found by where they stand.

/// A page, taken apart.
pub(crate) struct Page {
    html: String,
    /// All of it without its tags.
    pub(crate) text: String,
}

/// The text between two marks, from the first place where they stand.
fn between<'a>(text: &'a str, from: &str, to: &str) -> Option<&'a str> {
    let start = text.find(from)? + from.len();
    let end = text[start..].find(to)? + start;
    Some(&text[start..end])
}

/// The page without its links on numbers: the words as they were said.
pub(crate) fn unlinked(html: &str) -> String {
    let mut pieces = html.split("<a href=\"#");
    let mut text = pieces.next().unwrap_or_default().to_owned();
    for piece in pieces {
        let (anchor, rest) = piece.split_once('>').unwrap_or(("", piece));
        let kinds = ["picture-", "repair-", "finding-"];
        // A link with a name or class of its own is no number in a sentence.
        match kinds.iter().any(|it| anchor.starts_with(it)) && !anchor.contains(' ') {
            true => text.push_str(&rest.replacen("</a>", "", 1)),
            false => text.push_str(&format!("<a href=\"#{piece}")),
        }
    }
    text
}

/// What a reader sees: tags become spaces, spaces become one.
fn plain(html: &str) -> String {
    let html = &unlinked(html);
    let mut text = String::new();
    let mut inside = false;
    for letter in html.chars() {
        match letter {
            '<' => inside = true,
            '>' => {
                inside = false;
                text.push(' ');
            }
            _ if !inside => text.push(letter),
            _ => {}
        }
    }
    let text = text
        .replace("&#x27;", "'")
        .replace("&quot;", "\"")
        .replace("&amp;", "&");
    text.split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .replace(" .", ".")
        .replace(" ,", ",")
}

/// The number at the start of a text, and what follows it.
fn numbered(text: &str) -> Option<(usize, String)> {
    let text = text.trim();
    let end = text.find(|it: char| !it.is_ascii_digit())?;
    let number = text[..end].parse().ok()?;
    Some((number, text[end..].trim().to_owned()))
}

impl Page {
    pub(crate) fn new(html: &str) -> Self {
        Self {
            html: html.to_owned(),
            text: plain(html),
        }
    }

    fn section(&self, id: &str) -> &str {
        between(&self.html, &format!("<section id=\"{id}\""), "</section>").unwrap_or_default()
    }

    /// The state of a part in the schedule of parts: the head of the row in which the part stands, and in no other.
    pub(crate) fn schedule(&self, label: &str) -> Option<String> {
        let table = between(self.section("parts"), "<tbody>", "</tbody>")?;
        let rows = table.split("<tr>").skip(1).filter(|row| {
            let mut parts = row.split("<bdi>").skip(1);
            parts.any(|it| plain(it.split("</bdi>").next().unwrap_or_default()) == label)
        });
        let rows: Vec<&str> = rows.collect();
        let [row] = rows.as_slice() else {
            return None;
        };
        Some(plain(&format!("<th{}", between(row, "<th", "</th>")?)))
    }

    /// Whether a row of the schedule says this of its part.
    pub(crate) fn says_state(row: &str, state: &str) -> bool {
        let row = row.to_lowercase();
        match state {
            "sound" => row.contains("found none"),
            "absent" => row.starts_with("absent"),
            "not_examined" => row.starts_with("not examined"),
            "silent" => row.starts_with("no statement"),
            _ => row.contains("finding"),
        }
    }

    /// The counts in a row of the schedule: `3 findings: 2 still there; 1 gone.`, `1 finding, still there.`
    pub(crate) fn counts_in_row(row: &str) -> Vec<(usize, String)> {
        let Some((all, rest)) = numbered(row) else {
            return Vec::new();
        };
        let besides = rest.split("Besides: ").nth(1).unwrap_or_default();
        let besides = besides.split('.').next().unwrap_or_default();
        let besides = besides.split("; ").filter_map(numbered);
        let rest = rest.split(['.', '(']).next().unwrap_or_default();
        let rest = rest
            .trim_start_matches("findings")
            .trim_start_matches("finding");
        let mut counts = match (rest.strip_prefix(", "), rest.strip_prefix(": ")) {
            (Some(one), _) => vec![(all, one.to_owned())],
            (_, Some(each)) => each.split("; ").filter_map(numbered).collect(),
            (None, None) => Vec::new(),
        };
        counts.extend(besides);
        counts
    }

    /// The counts of the headline: `2 are still there: 1 heavy and 1 visible`, `3 gone`.
    pub(crate) fn lead(&self) -> Vec<(usize, String)> {
        let lead = plain(between(&self.html, "<p class=\"lead\">", "</p>").unwrap_or_default());
        let each = lead
            .split(". ")
            .map(|it| it.trim_start_matches("Besides: "));
        let each = each.filter_map(numbered);
        each.map(|(number, rest)| {
            let phrase = rest.trim_start_matches("is ").trim_start_matches("are ");
            let phrase = phrase.split(':').next().unwrap_or(phrase);
            (number, phrase.trim_end_matches('.').to_owned())
        })
        .collect()
    }

    /// How many findings the headline says are on record.
    pub(crate) fn all_findings(&self) -> usize {
        let lead = plain(between(&self.html, "<p class=\"lead\">", "</p>").unwrap_or_default());
        numbered(&lead).map_or(0, |it| it.0)
    }

    /// The headings of the lists at a glance, each with its number, and how many things stand under it.
    pub(crate) fn listed(&self) -> Vec<(String, usize, usize)> {
        let glance = self.section("glance");
        let lists = glance.split("<h3>").skip(1).filter_map(|it| {
            let title = plain(it.split("</h3>").next()?);
            let (name, number) = title.rsplit_once(": ")?;
            let items = between(it, "<ul class=\"items", "</ul>")?;
            let listed = items.matches("<li>").count();
            Some((name.to_owned(), number.parse().ok()?, listed))
        });
        lists.collect()
    }

    pub(crate) fn lists(&self) -> Vec<(usize, String)> {
        let all = self.listed().into_iter();
        all.map(|(name, number, _)| (number, name)).collect()
    }

    /// What the headline and the glance say of what was not examined.
    pub(crate) fn not_examined_counts(&self) -> Vec<String> {
        let lead = plain(between(&self.html, "<p class=\"lead\">", "</p>").unwrap_or_default());
        let in_lead = lead.split("Not examined: ").nth(1);
        let in_lead = in_lead.and_then(|it| it.split('.').next());
        let glance = between(self.section("glance"), "<h3>Not examined: ", "</h3>");
        let both = [in_lead, glance].into_iter();
        both.map(|it| it.unwrap_or("not said").to_owned()).collect()
    }

    /// Which groups a phrase counts; `None` when it is about something else.
    pub(crate) fn groups_of(phrase: &str) -> Option<&'static [&'static str]> {
        let phrase = phrase.to_lowercase();
        let has = |word: &str| phrase.contains(word);
        // A count of repairs is none of findings: `1 repair is on record; of these without a finding`.
        if phrase.starts_with("repair is ") || phrase.starts_with("repairs are ") {
            return None;
        }
        Some(match () {
            () if has("on record") => &[
                "open",
                "since",
                "repaired",
                "traces",
                "gone",
                "unseen",
                "unsettled",
            ],
            () if has("covered") => &["hidden"],
            () if has("can still be seen") => &["traces"],
            () if has("still there") => &["open"],
            () if has("last seen there") => &["since"],
            () if has("tested, nothing found") => &["cleared"],
            () if has("looked for, not found") => &["not_found"],
            () if has("no level given") => &["repaired"],
            () if has("no mark since") => &["unseen"],
            () if has("gone") => &["gone"],
            () if has("not to be told") => &["unsettled"],
            () => return None,
        })
    }

    /// All that stands beside a finding in the state part by part: its article, or its line.
    pub(crate) fn beside(&self, no: &str) -> Option<String> {
        let anchor = format!("id=\"finding-{}\"", &no[1..]);
        let state = self.section("state");
        let article = between(
            state,
            &format!("<article class=\"finding\" {anchor}"),
            "</article>",
        );
        let line = between(state, &format!("<li {anchor}>"), "</li>");
        article.or(line).map(plain)
    }

    /// What became of a finding, in the words of the page.
    pub(crate) fn state_of(&self, no: &str) -> Option<String> {
        let beside = self.beside(no)?;
        let from = beside.find(" State ").map(|at| at + 7);
        let said = match from {
            Some(from) => beside[from..].split(" Origin ").next()?,
            None => beside.rsplit("; ").next()?,
        };
        Some(said.trim().trim_end_matches('.').to_lowercase())
    }

    /// Whether the words about a finding put it in a group.
    pub(crate) fn says_group(said: &str, group: &str) -> bool {
        let has = |word: &str| said.contains(word);
        match group {
            "open" => {
                let is_there = has("still there") || said.starts_with("seen once, ");
                (is_there && !has("hidden")) || has("there again")
            }
            "since" => has("last seen there on"),
            "cleared" => has("tested, nothing found on "),
            "not_found" => said.starts_with("looked for, not found on "),
            "repaired" => said.starts_with("repaired") && !has("gone"),
            "gone" => has("no longer there") || has("repaired, and gone"),
            "unseen" => has("no mark since says") || has("no mark says anything"),
            _ => has("not settled"),
        }
    }

    /// The pictures of which a sentence says that they show a part without its fault: `the top is in pictures 4 and 7 of 3 June
    /// 2026 without it`; "no clear picture shows it without it" names none.
    pub(crate) fn pictures_without(why: &str) -> Vec<u32> {
        let clauses = why.split([';', '.']).filter(|it| it.contains("without it"));
        let mut numbers = Vec::new();
        for clause in clauses.filter(|it| !it.contains("no clear picture")) {
            let mut named = false;
            for word in clause.split([' ', ',']).filter(|it| !it.is_empty()) {
                match word.parse() {
                    Ok(number) if named => numbers.push(number),
                    _ => {
                        named = ["picture", "pictures"].contains(&word) || (named && word == "and")
                    }
                }
            }
        }
        numbers
    }

    /// Sentences that hold both of two words.
    pub(crate) fn sentences_with(&self, a: &str, b: &str) -> Vec<String> {
        let all = self.text.split(". ");
        let both = all.filter(|it| it.contains(a) && it.contains(b));
        both.map(str::to_owned).collect()
    }

    /// Every number of views that the headline or the glance tells.
    /// What repair `no` is said to have been done on, beside its faults.
    pub(crate) fn done_on(&self, no: usize) -> Option<String> {
        let own = between(&self.html, &format!("id=\"repair-{no}\""), "</section>")?;
        let own = own.split("id=\"repair-").next()?;
        let on = between(own, "<dt>Done on</dt>", "</div>")?;
        Some(plain(on).trim().to_owned())
    }

    pub(crate) fn view_counts(&self) -> Vec<usize> {
        let lead = between(&self.html, "<p class=\"lead\">", "</p>").unwrap_or_default();
        let both = plain(&format!("{lead} {}", self.section("glance")));
        let words: Vec<_> = both.split(' ').collect();
        let pairs = words.windows(2).filter(|it| it[1].starts_with("view"));
        pairs.filter_map(|it| it[0].parse().ok()).collect()
    }
}
