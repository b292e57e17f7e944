use samples::Exif;

use crate::photo::disclosed::Disclosed;
use crate::photo::disclosed::disclosed;

fn placed() -> Exif {
    Exif {
        place: Some((48.2, 16.37, 171.0)),
        artist: Some("Ann Ohm".to_owned()),
        owner: Some("Brandt".to_owned()),
        serial: Some("A-77".to_owned()),
        ..Exif::taken("2026:05:03 10:02:11")
    }
}

fn bare() -> Vec<u8> {
    samples::jpeg_bare(16, 9)
}

#[track_caller]
fn has_all(bytes: &[u8]) {
    let found = disclosed(bytes);
    let texts = |all: &[&str]| all.iter().map(|it| (*it).to_owned()).collect();
    assert!(found.may_hold_a_place());
    assert_eq!(found.names, texts(&["Ann Ohm", "Brandt"]));
    assert_eq!(found.serials, texts(&["A-77"]));
}

#[track_caller]
fn has_place(bytes: &[u8]) {
    assert!(disclosed(bytes).may_hold_a_place());
}

#[test]
fn nothing_is_found_where_nothing_is() {
    for bytes in [
        bare(),
        samples::jpeg(64, 48, &Exif::taken("2026:05:03 10:02:11")),
        samples::png(64, 48, &Exif::held(6)),
        samples::tiff(64, 48, &Exif::held(6)),
        b"GPSLatitude is a word of the standard; so is photoshop:City".to_vec(),
    ] {
        assert_eq!(disclosed(&bytes), Disclosed::default());
    }
}

#[test]
fn exif_is_found_in_every_container_order_and_type_of_pointer() {
    for (big_endian, short_pointer) in [(false, false), (true, false), (false, true), (true, true)]
    {
        let exif = Exif {
            big_endian,
            short_pointer,
            ..placed()
        };
        has_all(&samples::jpeg(16, 9, &exif));
        has_all(&samples::png(16, 9, &exif));
        has_all(&samples::webp(16, 9, &exif));
        has_all(&samples::tiff(16, 9, &exif));
    }
}

#[test]
fn it_is_found_behind_the_end_of_the_picture_and_in_a_second_one() {
    let second = samples::jpeg(16, 9, &placed());
    has_all(&[bare(), second.clone()].concat());
    has_all(&[bare(), b"\0\0trailer".to_vec(), placed().block()].concat());
    // A small picture inside the camera's own facts may have facts of its own.
    let inside = Exif {
        thumbnail: Some(second),
        ..Exif::held(1)
    };
    has_all(&samples::jpeg(64, 48, &inside));
}

#[test]
fn words_of_places_and_people_are_found_in_xmp() {
    for attribute in [
        "exif:GPSLatitude=\"48,12N\"",
        "photoshop:City='Linz'",
        "Iptc4xmpCore:Location=\"Main square\"",
        "Iptc4xmpExt:Sublocation=\"Main square\"",
        "Iptc4xmpCore:CiAdrExtadr=\"Main square 1\"",
    ] {
        let packet = samples::xmp(attribute);
        has_place(&samples::with_segment(&bare(), 0xe1, &packet));
        for big_endian in [false, true] {
            let text = String::from_utf8(packet.clone()).unwrap();
            let wide = text.encode_utf16().flat_map(|it| match big_endian {
                true => it.to_be_bytes(),
                false => it.to_le_bytes(),
            });
            has_place(&wide.collect::<Vec<u8>>());
        }
    }
    let element = b"<rdf:RDF><Iptc4xmpExt:LocationShown><rdf:Bag><rdf:li rdf:parseType=\"Resource\">\
        <Iptc4xmpExt:City>Linz</Iptc4xmpExt:City></rdf:li></rdf:Bag></Iptc4xmpExt:LocationShown></rdf:RDF>";
    has_place(element);
    for silent in [
        "photoshop:City=\"\"",
        "photoshop:CityHall=\"Linz\"",
        "exif:GPSLatitude=\" \"",
    ] {
        assert_eq!(
            disclosed(&samples::xmp(silent)),
            Disclosed::default(),
            "{silent}"
        );
    }
    let people = b"<rdf:RDF><dc:creator><rdf:Seq><rdf:li>Ann Ohm</rdf:li></rdf:Seq></dc:creator>\
        <rdf:Description aux:OwnerName=\"Brandt\" exifEX:BodySerialNumber=\"A-77\"/></rdf:RDF>";
    let found = disclosed(people);
    assert_eq!(Vec::from_iter(found.names), ["Ann Ohm", "Brandt"]);
    assert_eq!(Vec::from_iter(found.serials), ["A-77"]);
}

#[test]
fn a_long_packet_in_pieces_is_put_together() {
    let packet = samples::xmp("photoshop:City=\"Linz\"");
    let piece = |from: usize, to: usize| {
        let mut body = b"http://ns.adobe.com/xmp/extension/\0".to_vec();
        body.extend([b'A'; 32]);
        body.extend((packet.len() as u32).to_be_bytes());
        body.extend((from as u32).to_be_bytes());
        body.extend(&packet[from..to]);
        body
    };
    let cut = packet.windows(4).position(|it| it == b"City").unwrap() + 2;
    let one = samples::with_segment(&bare(), 0xe1, &piece(0, cut));
    has_place(&samples::with_segment(
        &one,
        0xe1,
        &piece(cut, packet.len()),
    ));
}

/// A data set of record 2 (IPTC Information Interchange Model 4).
fn record(set: u8, value: &[u8]) -> Vec<u8> {
    [&[0x1c, 2, set, 0, value.len() as u8], value].concat()
}

#[test]
fn records_of_news_agencies_are_read() {
    let resource = |records: &[u8]| {
        let head = b"Photoshop 3.0\08BIM\x04\x04\0\0".to_vec();
        [&head, &(records.len() as u32).to_be_bytes()[..], records].concat()
    };
    for set in [90, 92, 95, 100, 101] {
        let records = [record(5, b"a chest"), record(set, b"Linz")].concat();
        has_place(&samples::with_segment(&bare(), 0xed, &resource(&records)));
    }
    let found = disclosed(&resource(&record(80, b"Ann Ohm")));
    assert_eq!(Vec::from_iter(found.names), ["Ann Ohm"]);
    let found = disclosed(&resource(&record(25, b"a chest")));
    assert_eq!(Vec::from_iter(found.words), ["a chest"]);
    let silent = resource(&record(90, b"  "));
    assert_eq!(disclosed(&silent), Disclosed::default());
}

#[test]
fn boxes_of_films_are_found_wherever_they_lie() {
    for lead in [0, 1, 65_530, 131_067] {
        let at = |text: &[u8]| [vec![b'a'; lead], text.to_vec(), vec![b'z'; 40]].concat();
        for text in [
            &b"\xa9xyz\x00\x12\x15\xc7+48.2082+016.3738/"[..],
            b"\xa9xyz\x00\x00\x00\x22data\x00\x00\x00\x01+48.2082+016.3738/",
            b"\x00\x00\x00\x20loci\x00\x00\x00\x00\x15\xc7Linz\x00",
            b"com.apple.quicktime.location.ISO6709",
        ] {
            has_place(&at(text));
        }
        for silent in [
            &b"\xa9xyz\x00\x12\x15\xc7 no place here"[..],
            b"a text on genius loci, and no box",
            b"GPSLongitud, and nothing more",
        ] {
            assert_eq!(disclosed(&at(silent)), Disclosed::default());
        }
    }
}

/// Packed by `zlib`, as chunks of a PNG and streams of a PDF are.
fn packed(bytes: &[u8]) -> Vec<u8> {
    use std::io::Read as _;
    let mut out = Vec::new();
    let level = flate2::Compression::default();
    flate2::read::ZlibEncoder::new(bytes, level)
        .read_to_end(&mut out)
        .unwrap();
    out
}

/// A PNG's signature and one chunk.
fn png(kind: &[u8; 4], body: &[u8]) -> Vec<u8> {
    let size = (body.len() as u32).to_be_bytes();
    [b"\x89PNG\r\n\x1a\n", &size[..], kind, body, &[0; 4]].concat()
}

#[test]
fn packed_texts_are_unpacked() {
    let packet = packed(&samples::xmp("photoshop:City=\"Linz\""));
    has_place(&png(b"zTXt", &[b"XML\0\0", &packet[..]].concat()));
    has_place(&png(
        b"iTXt",
        &[b"XML:com.adobe.xmp\0\x01\0\0\0", &packet[..]].concat(),
    ));
    let digits: String = placed()
        .block()
        .iter()
        .map(|it| format!("{it:02x}"))
        .collect();
    let profile = format!("\nexif\n{:8}\n{digits}\n", digits.len() / 2);
    let body = [
        b"Raw profile type exif\0\0",
        &packed(profile.as_bytes())[..],
    ]
    .concat();
    has_all(&png(b"zTXt", &body));
    let pdf = [
        b"%PDF-1.7\n1 0 obj\n<<>>\nstream\r\n",
        &packet[..],
        b"\nendstream",
    ]
    .concat();
    has_place(&pdf);
    let found = disclosed(&png(b"tEXt", b"Author\0Ann Ohm"));
    assert_eq!(Vec::from_iter(found.names), ["Ann Ohm"]);
}

#[test]
fn what_is_broken_is_no_panic() {
    let photo = samples::jpeg(16, 9, &placed());
    for cut in 0..photo.len().min(600) {
        let _ = disclosed(&photo[..cut]);
    }
    let mut noise = 1_u32;
    for _ in 0..2_000 {
        noise = noise.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        let mut broken = photo[..photo.len().min(500)].to_vec();
        let at = noise as usize % broken.len();
        broken[at] = (noise >> 24) as u8;
        let _ = disclosed(&broken);
    }
}

/// What another program wrote of the picture is told with it: in XMP, in Exif and in the fields of a system.
#[test]
fn keywords_titles_captions_and_names_of_regions_are_words() {
    let packet = samples::xmp("mwg-rs:Name=\"Ann\" dc:title=\"a chest\" xmp:Rating=\"3\"");
    let found = disclosed(&packet);
    assert_eq!(Vec::from_iter(found.words), ["Ann", "a chest"]);
}

/// A JPEG's comment (ITU-T T.81, B.2.4.5), also of a second picture in the file, and a PNG's texts under the keywords of its standard (PNG
/// specification, 11.3.3) are words too; what a program says of itself is none.
#[test]
fn comments_of_a_jpeg_and_texts_of_a_png_are_words() {
    let mut photo = bare();
    photo.splice(2..2, *b"\xff\xfe\x00\x0bsat on it");
    let twice = [bare(), photo.clone()].concat();
    for bytes in [photo, twice] {
        assert_eq!(Vec::from_iter(disclosed(&bytes).words), ["sat on it"]);
    }
    let text = png(b"tEXt", b"Description\0by the table");
    assert_eq!(Vec::from_iter(disclosed(&text).words), ["by the table"]);
    let text = png(b"iTXt", b"Comment\0\0\0\0\0Ann's");
    assert_eq!(Vec::from_iter(disclosed(&text).words), ["Ann's"]);
    let software = png(b"tEXt", b"Software\0a camera");
    assert_eq!(disclosed(&software), Disclosed::default());
}
