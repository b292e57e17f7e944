//! The XML of answers: lists of names, and faults.

use roxmltree::Document;
use roxmltree::Node;

use crate::bucket::fault::Said;

/// What lies under a name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// Its name, below the prefix of the bucket's address.
    pub name: String,
    /// Its length.
    pub bytes: u64,
    /// Another one whenever its bytes are others (the ETag of HTTP).
    pub tag: String,
}

/// A part of a list.
pub(super) struct Part {
    pub(super) entries: Vec<Entry>,
    /// What leads on to the next part.
    pub(super) next: Option<String>,
}

/// Reads a part of a list of all that lies under `prefix`; `None` where it is none.
pub(super) fn part(xml: &str, prefix: &str) -> Option<Part> {
    let document = Document::parse(xml).ok()?;
    let root = document.root_element();
    if root.tag_name().name() != "ListBucketResult" {
        return None;
    }
    let mut entries = Vec::new();
    for it in root.children().filter(|it| it.has_tag_name_of("Contents")) {
        // A server that gives back what was not asked for says nothing of what is there.
        let name = it.text_of("Key")?.strip_prefix(prefix)?.to_owned();
        entries.push(Entry {
            name,
            bytes: it.text_of("Size")?.trim().parse().ok()?,
            tag: it.text_of("ETag")?.trim().to_owned(),
        });
    }
    let goes_on = root
        .text_of("IsTruncated")
        .is_some_and(|it| it.trim() == "true");
    let next = root.text_of("NextContinuationToken").map(str::to_owned);
    match goes_on && next.is_none() {
        true => None,
        false => Some(Part {
            entries,
            next: next.filter(|_| goes_on),
        }),
    }
}

/// Reads what an answer says of a fault, as far as it says something.
pub(super) fn said(xml: &str) -> Said {
    let Ok(document) = Document::parse(xml) else {
        return Said::default();
    };
    let root = document.root_element();
    let code = root.text_of("Code").filter(|it| it.len() < 80);
    let plain = |it: &&str| it.chars().all(|c| c.is_ascii_alphanumeric() || c == '-');
    Said {
        code: code.filter(plain).unwrap_or_default().to_owned(),
        region: root.text_of("Region").filter(plain).map(str::to_owned),
    }
}

/// Elements by their names, whatever space these are of: servers write different ones.
trait Named<'a> {
    fn has_tag_name_of(&self, name: &str) -> bool;
    fn text_of(&self, name: &str) -> Option<&'a str>;
}

impl<'a> Named<'a> for Node<'a, '_> {
    fn has_tag_name_of(&self, name: &str) -> bool {
        self.is_element() && self.tag_name().name() == name
    }

    fn text_of(&self, name: &str) -> Option<&'a str> {
        let mut all = self.children().filter(|it| it.has_tag_name_of(name));
        all.next()?.text()
    }
}

#[cfg(test)]
mod tests {
    use super::part;
    use super::said;

    const LIST: &str = "<?xml version=\"1.0\"?><ListBucketResult xmlns=\"http://s3.amazonaws.com/doc/2006-03-01/\">\
        <IsTruncated>true</IsTruncated><NextContinuationToken>1 more=</NextContinuationToken>\
        <Contents><Key>a/runs/1 &amp; 2</Key><ETag>&quot;x&quot;</ETag><Size>12</Size></Contents></ListBucketResult>";

    #[test]
    fn a_list_is_read_and_half_of_one_is_not() {
        let list = part(LIST, "a/").unwrap();
        assert_eq!(list.next.as_deref(), Some("1 more="));
        let it = &list.entries[0];
        assert_eq!(
            (it.name.as_str(), it.bytes, it.tag.as_str()),
            ("runs/1 & 2", 12, "\"x\"")
        );
        assert!(part(LIST, "b/").is_none(), "not what was asked for");
        assert!(part(&LIST.replace("NextContinuationToken", "Next"), "a/").is_none());
        assert!(part("<html/>", "").is_none() && part("", "").is_none());
        let last = LIST.replace("true", "false");
        assert_eq!(part(&last, "a/").unwrap().next, None);
    }

    #[test]
    fn a_fault_is_read_as_far_as_it_is_told() {
        let xml = "<Error><Code>PermanentRedirect</Code><Region>eu-central-1</Region></Error>";
        let it = said(xml);
        assert_eq!(
            (it.code.as_str(), it.region.as_deref()),
            ("PermanentRedirect", Some("eu-central-1"))
        );
        assert_eq!(said("<html>no").code, "");
        assert_eq!(said("<Error><Code>\u{1b}[2J</Code></Error>").code, "");
    }
}
