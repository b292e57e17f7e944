//! What the user tells of the market for a piece, and of the way it shall be refinished: checked and kept with the piece.

use crate::advise::price::wish::MEND;
use crate::kit::money::Money;
use crate::kit::text::suggest::near;
use crate::model::ids::PartId;
use crate::model::market::Chosen;
use crate::model::market::Market;
use crate::model::market::MarketFact;
use crate::model::market::MarketInput;
use crate::model::market::Sold;
use crate::model::piece::Piece;
use crate::trade::TradeBook;
use crate::work::WorkError;
use crate::work::sidecars::vocabulary;

/// Puts what is told into what is known of a piece, takes back what holds no more, and gives a line for each thing that is
/// kept. What is `None` or empty stays as it was; comparables take the place of those told before for the same path, and
/// choices of every choice before.
///
/// # Errors
/// When a path, a part or a channel is not known, or an amount is none.
pub(in crate::work) fn tell(
    told: MarketInput,
    book: &TradeBook,
    piece: &mut Piece,
) -> Result<Vec<String>, WorkError> {
    let mut kept = Vec::new();
    for fact in &told.gone {
        kept.push(take_back(fact, book, &mut piece.market)?);
    }
    let told = told.told;
    let market = &mut piece.market;
    if let Some(worth) = told.worth {
        market.worth = Some(worth);
        kept.push(format!("worth: {worth}"));
    }
    if let Some(whom) = told.meant_for {
        market.meant_for = Some(whom);
        kept.push(format!("meant for: a {whom}"));
    }
    if let Some(wish) = told.wish {
        market.wish = Some(wish);
        kept.push(format!("wish: {wish}"));
    }
    if let Some(sold_as) = told.sold_as {
        market.sold_as = Some(sold_as);
        kept.push(format!("sold as: {sold_as}"));
    }
    if let Some(asks) = told.seller_asks {
        above_zero(asks, "what the seller asks")?;
        market.seller_asks = Some(asks);
        kept.push(format!("the seller asks {asks}"));
    }
    if let Some(bill) = told.bill {
        above_zero(bill, "what others take")?;
        market.bill = Some(bill);
        kept.push(format!("others take {bill}"));
    }
    if let Some(channel) = told.channel {
        kept.push(format!("channel: {channel}"));
        market.channel = Some(known_channel(book, channel)?);
    }
    sold(book, market, told.sold, &mut kept)?;
    chosen(book, piece, told.chosen, &mut kept)?;
    Ok(kept)
}

/// Takes one fact back, and says so.
fn take_back(
    fact: &MarketFact,
    book: &TradeBook,
    market: &mut Market,
) -> Result<String, WorkError> {
    let says = match fact {
        MarketFact::Worth => {
            market.worth = None;
            "worth: not told any more"
        }
        MarketFact::MeantFor => {
            market.meant_for = None;
            "meant for nobody special any more"
        }
        MarketFact::Wish => {
            market.wish = None;
            "no wish any more"
        }
        MarketFact::SoldAs => {
            market.sold_as = None;
            "sold as: not told any more"
        }
        MarketFact::SellerAsks => {
            market.seller_asks = None;
            "what the seller asks: not told any more"
        }
        MarketFact::Bill => {
            market.bill = None;
            "what others take: not told any more"
        }
        MarketFact::Channel => {
            market.channel = None;
            "channel: the usual one again"
        }
        MarketFact::Chosen => {
            market.chosen.clear();
            "no path is chosen any more"
        }
        MarketFact::Sold(None) => {
            market.sold.clear();
            "sold: no price is told any more"
        }
        MarketFact::Sold(Some(path)) => {
            known_path(book, path)?;
            market.sold.retain(|it| it.path != *path);
            return Ok(format!("sold after {path}: no price is told any more"));
        }
    };
    Ok(says.to_owned())
}

fn sold(
    book: &TradeBook,
    market: &mut Market,
    told: Vec<Sold>,
    kept: &mut Vec<String>,
) -> Result<(), WorkError> {
    for line in &told {
        known_path(book, &line.path)?;
        above_zero(line.price, "what a piece was sold for")?;
    }
    market
        .sold
        .retain(|old| !told.iter().any(|it| it.path == old.path));
    for line in &told {
        kept.push(format!("sold after {}: {}", line.path, line.price));
    }
    market.sold.extend(told);
    Ok(())
}

fn chosen(
    book: &TradeBook,
    piece: &mut Piece,
    told: Vec<Chosen>,
    kept: &mut Vec<String>,
) -> Result<(), WorkError> {
    if told.is_empty() {
        return Ok(());
    }
    let parts = vocabulary::parts(book, piece);
    for line in &told {
        known_path(book, &line.path)?;
        if let Some(part) = &line.part {
            known_part(part, parts.iter().map(|it| it.id.as_str()))?;
        }
        let on = line.part.as_ref().map_or("all parts", PartId::as_str);
        kept.push(format!("path of {on}: {}", line.path));
    }
    piece.market.chosen = told;
    Ok(())
}

fn above_zero(amount: Money, what: &str) -> Result<(), WorkError> {
    if amount.minor > 0 {
        return Ok(());
    }
    Err(WorkError::asked(format!(
        "{what} must be above 0, not {amount}"
    )))
}

fn known_path(book: &TradeBook, path: &str) -> Result<(), WorkError> {
    let paths = book.paths.iter().map(|it| it.id.as_str());
    let known: Vec<&str> = paths.chain([MEND]).collect();
    known_word(path, "a path of the trade book", "paths", &known)
}

fn known_part<'a>(part: &PartId, known: impl Iterator<Item = &'a str>) -> Result<(), WorkError> {
    let known: Vec<&str> = known.collect();
    known_word(part.as_str(), "a part of this piece", "parts", &known)
}

fn known_channel(book: &TradeBook, channel: String) -> Result<String, WorkError> {
    let channels = &book.offer.channels;
    let known: Vec<&str> = channels.iter().map(|it| it.id.as_str()).collect();
    known_word(&channel, "a channel of the trade book", "channels", &known)?;
    Ok(channel)
}

/// Refuses a word that is not known, with what may have been meant.
pub(in crate::work) fn known_word(
    word: &str,
    what: &str,
    kind: &str,
    known: &[&str],
) -> Result<(), WorkError> {
    if known.contains(&word) {
        return Ok(());
    }
    let quoted = |list: &[&str]| {
        let list: Vec<String> = list.iter().map(|it| format!("`{it}`")).collect();
        list.join(", ")
    };
    let near = near(word, known, &[]);
    let hint = if near.is_empty() {
        let whole: Vec<&str> = known
            .iter()
            .copied()
            .filter(|it| !it.contains('/'))
            .collect();
        format!("the {kind} are {}", quoted(&whole))
    } else {
        format!("did you mean {}?", quoted(&near))
    };
    Err(WorkError::asked_with(
        format!("`{word}` is not {what}"),
        hint,
    ))
}
