//! Keeping beside other tabs: a device in memory, with as many tabs as a test wants. A tab sees its own writing at
//! once and another's when the browser tells it, which may be late.

use std::{cell::RefCell, collections::BTreeMap, rc::Rc};

use pourcard::app::{
    action::Action,
    desk::{Desk, DeskAction, Tidings},
    keeping::{self, Device, Keeping, OPEN, PRICES},
    model::Spot,
    saved::NAME,
};
use proptest::prelude::*;

type Texts = BTreeMap<String, String>;

/// The tab that wrote, the name, and its text where there is one.
type News = (usize, String, Option<String>);

/// What the browser holds for all tabs.
#[derive(Default)]
struct Common {
    texts: RefCell<Texts>,
    ids: RefCell<u32>,
    full: RefCell<bool>,
    /// What each tab has still to be told.
    told: RefCell<Vec<Vec<News>>>,
}

/// Storage as one tab sees it.
struct View {
    tab: usize,
    common: Rc<Common>,
    seen: RefCell<Texts>,
}

impl View {
    fn change(&self, name: &str, text: Option<&str>) {
        for texts in [&self.seen, &self.common.texts] {
            match text {
                Some(text) => texts.borrow_mut().insert(name.into(), text.into()),
                None => texts.borrow_mut().remove(name),
            };
        }
        for told in self.common.told.borrow_mut().iter_mut() {
            told.push((self.tab, name.into(), text.map(str::to_owned)));
        }
    }
}

impl Device for View {
    fn read(&self, name: &str) -> Option<String> {
        self.seen.borrow().get(name).cloned()
    }
    fn has(&self, name: &str) -> bool {
        self.seen.borrow().contains_key(name)
    }
    fn write(&self, name: &str, text: &str) -> Option<()> {
        let longer = self.read(name).is_none_or(|old| old.len() < text.len());
        if longer && *self.common.full.borrow() {
            return None;
        }
        if self.read(name).as_deref() != Some(text) {
            self.change(name, Some(text));
        }
        Some(())
    }
    fn remove(&self, name: &str) -> Option<()> {
        self.change(name, None);
        Some(())
    }
    fn names(&self, prefix: &str) -> Vec<String> {
        let seen = self.seen.borrow();
        let names = seen.keys().filter(|name| name.starts_with(prefix));
        names.cloned().collect()
    }
    fn new_id(&self) -> String {
        *self.common.ids.borrow_mut() += 1;
        ["n", &self.common.ids.borrow().to_string()].concat()
    }
}

struct Tab {
    desk: Desk,
    keeping: Keeping,
    view: View,
}

impl Tab {
    /// A new tab on the device, which has been told everything.
    fn new(common: &Rc<Common>) -> Self {
        let view = View {
            tab: common.told.borrow().len(),
            common: common.clone(),
            seen: common.texts.clone(),
        };
        common.told.borrow_mut().push(Vec::new());
        let last = view.read(OPEN);
        let desk = keeping::desk(&view, last.as_deref());
        Self {
            keeping: Keeping::new(&desk, &view),
            desk,
            view,
        }
    }

    fn does(&mut self, action: DeskAction) {
        self.desk.take(action);
        self.keeping.keep(&mut self.desk, &self.view, true);
    }

    fn titled(&mut self, text: &str) {
        self.does(DeskAction::On(Action::Typed(Spot::Title, text.into())));
    }

    fn title(&self) -> &str {
        &self.desk.page.model.title
    }

    /// The browser tells what happened next; `false` where nothing did.
    fn hears(&mut self) -> bool {
        let (tab, common) = (self.view.tab, self.view.common.clone());
        let mut all = common.told.borrow_mut();
        if all[tab].is_empty() {
            return false;
        }
        let (writer, name, text) = all[tab].remove(0);
        // What others wrote of a name is not seen while its own writing is on the way.
        let own_to_come = all[tab].iter().any(|(w, n, _)| *w == tab && *n == name);
        drop(all);
        if writer == tab {
            return true;
        }
        if !own_to_come {
            let mut seen = self.view.seen.borrow_mut();
            match &text {
                Some(text) => seen.insert(name.clone(), text.clone()),
                None => seen.remove(&name),
            };
        }
        if let Some(id) = name.strip_prefix(NAME) {
            self.keeping
                .heed(id, text.as_deref(), &mut self.desk, &self.view);
        } else if name == PRICES {
            self.keeping.heed_prices(&mut self.desk, &self.view);
        }
        self.keeping.keep(&mut self.desk, &self.view, false);
        true
    }

    fn hears_all(&mut self) {
        while self.hears() {}
    }

    fn looks(&mut self) {
        self.keeping.look(&mut self.desk, &self.view);
        self.keeping.keep(&mut self.desk, &self.view, false);
    }
}

/// Titles of the records on the device.
fn titles(common: &Common) -> Vec<String> {
    let texts = common.texts.borrow();
    let records = texts.iter().filter(|(name, _)| name.starts_with(NAME));
    let lines = records.filter_map(|(_, text)| text.split('\n').nth(3));
    let mut list: Vec<String> = lines
        .map(|line| line.strip_prefix("title ").unwrap_or("?").to_owned())
        .collect();
    list.sort();
    list
}

fn put(common: &Common, name: &str, text: &str) {
    common.texts.borrow_mut().insert(name.into(), text.into());
}

fn text(common: &Common, name: &str) -> Option<String> {
    common.texts.borrow().get(name).cloned()
}

const NEWER: &str = "pourcard record 99\nfrom the future";

#[test]
fn an_empty_job_filled_twice_is_two_jobs() {
    let common = Rc::new(Common::default());
    let mut tab = Tab::new(&common);
    tab.titled("First");
    tab.does(DeskAction::Empty("e".into()));
    let mut again = Tab::new(&common);
    assert!(again.desk.is_empty());
    again.titled("Second");
    assert_eq!(titles(&common), ["First", "Second"]);
}

#[test]
fn a_record_under_the_open_name_that_cannot_be_read_is_never_written_to() {
    for odd in [NEWER, "pourcard record 1\njob {", "\0"] {
        for id in ["example", "7"] {
            let common = Rc::new(Common::default());
            put(&common, &[NAME, id].concat(), odd);
            put(&common, OPEN, id);
            let mut tab = Tab::new(&common);
            tab.titled("Mine");
            assert_eq!(text(&common, &[NAME, id].concat()).as_deref(), Some(odd));
            assert!(titles(&common).contains(&"Mine".to_owned()), "{id}");
        }
    }
}

#[test]
fn a_newer_page_in_another_tab_takes_the_name_and_not_the_job() {
    let common = Rc::new(Common::default());
    let mut tab = Tab::new(&common);
    tab.titled("Mine");
    let name = [NAME, &tab.desk.open].concat();
    put(&common, &name, NEWER);
    tab.view
        .seen
        .borrow_mut()
        .insert(name.clone(), NEWER.into());
    // Heard of, or found when writing.
    for heard in [true, false] {
        let mut tab = Tab {
            desk: tab.desk.clone(),
            keeping: tab.keeping.clone(),
            view: View {
                tab: 0,
                common: common.clone(),
                seen: common.texts.clone(),
            },
        };
        if heard {
            let id = tab.desk.open.clone();
            tab.keeping.heed(&id, Some(NEWER), &mut tab.desk, &tab.view);
            assert_eq!(tab.title(), "Mine");
        }
        tab.titled("Mine still");
        assert_eq!(tab.desk.tidings, Some(Tidings::Parted));
        assert_eq!(text(&common, &name).as_deref(), Some(NEWER));
        assert!(titles(&common).contains(&"Mine still".to_owned()));
        assert_eq!(tab.desk.kept.len(), 1);
    }
}

#[test]
fn a_record_read_and_not_changed_is_not_rewritten() {
    let common = Rc::new(Common::default());
    Tab::new(&common).titled("Mine");
    let name = [NAME, "n1"].concat();
    // As a page of another day might write it: a blank line it knows and this page does not repeat.
    let theirs = [&text(&common, &name).unwrap(), "\nl0.@end "].concat();
    put(&common, &name, &theirs);
    let mut tab = Tab::new(&common);
    assert_eq!(tab.title(), "Mine");
    tab.does(DeskAction::LinkShown(true));
    tab.does(DeskAction::Empty("e".into()));
    tab.does(DeskAction::Opened("n1".into()));
    assert_eq!(text(&common, &name), Some(theirs));
    tab.titled("Changed");
    assert_eq!(titles(&common), ["Changed"]);
}

#[test]
fn a_job_deleted_elsewhere_stays_where_it_is_open_and_is_kept_once_changed() {
    let common = Rc::new(Common::default());
    let mut one = Tab::new(&common);
    one.titled("Mine");
    let mut two = Tab::new(&common);
    two.does(DeskAction::Deleted(one.desk.open.clone(), "e".into()));
    one.hears_all();
    one.looks();
    assert_eq!((one.title(), titles(&common).len()), ("Mine", 0));
    one.titled("Mine still");
    assert_eq!(titles(&common), ["Mine still"]);
    two.hears_all();
    assert_eq!(two.desk.kept.len(), 1);
    // The list of another tab forgets it.
    one.does(DeskAction::Deleted(one.desk.open.clone(), "f".into()));
    two.hears_all();
    assert_eq!((two.desk.kept.len(), titles(&common).len()), (0, 0));
}

#[test]
fn a_job_changed_elsewhere_is_not_deleted_unseen() {
    let common = Rc::new(Common::default());
    let mut one = Tab::new(&common);
    one.titled("Mine");
    let id = one.desk.open.clone();
    let mut two = Tab::new(&common);
    two.titled("Mine, changed");
    // The first does not know yet, but its storage does.
    one.view.seen = common.texts.clone();
    one.does(DeskAction::Deleted(id.clone(), "e".into()));
    assert_eq!(titles(&common), ["Mine, changed"]);
    assert_eq!(one.desk.kept.len(), 1);
}

#[test]
fn what_was_cleared_is_written_again_all_of_it() {
    let common = Rc::new(Common::default());
    let mut tab = Tab::new(&common);
    tab.titled("A");
    for name in ["B", "C"] {
        tab.does(DeskAction::Empty(name.into()));
        tab.titled(name);
    }
    tab.does(DeskAction::PricesImported(
        "name,kind,percent,glycol,size,unit,price\nTin,water,,,5,L,3\n".into(),
    ));
    for back in [Tab::looks, |tab: &mut Tab| tab.does(DeskAction::Noticed)] {
        common.texts.borrow_mut().clear();
        tab.view.seen.borrow_mut().clear();
        back(&mut tab);
        assert_eq!(titles(&common), ["A", "B", "C"]);
        assert!(text(&common, PRICES).is_some() && text(&common, OPEN).is_some());
    }
}

#[test]
fn the_warning_comes_back_with_the_trouble_and_goes_with_it() {
    let common = Rc::new(Common::default());
    let mut tab = Tab::new(&common);
    tab.titled("A");
    for round in 0..2 {
        *common.full.borrow_mut() = true;
        tab.titled(&["longer and longer", &"!".repeat(round)].concat());
        assert_eq!(tab.desk.tidings, Some(Tidings::NotKept), "{round}");
        tab.does(DeskAction::Noticed);
        tab.titled(&["longer and longer still", &"!".repeat(round)].concat());
        assert_eq!(tab.desk.tidings, None, "once");
        *common.full.borrow_mut() = false;
        tab.titled(&["kept", &"!".repeat(round)].concat());
        assert_eq!(titles(&common), [tab.title()]);
    }
    *common.full.borrow_mut() = true;
    tab.titled("longer and longer, unread");
    assert_eq!(tab.desk.tidings, Some(Tidings::NotKept));
    *common.full.borrow_mut() = false;
    tab.titled("kept once more");
    assert_eq!(
        tab.desk.tidings, None,
        "what no longer holds is not told any more"
    );
}

#[test]
fn another_tab_takes_over_says_so_and_can_take_it_back() {
    let common = Rc::new(Common::default());
    let mut one = Tab::new(&common);
    one.titled("Van");
    let mut two = Tab::new(&common);
    for text in ["Van,", "Van, w", "Van, winter"] {
        two.titled(text);
        one.hears_all();
    }
    assert_eq!(one.title(), "Van, winter");
    assert_eq!(one.desk.tidings, Some(Tidings::ChangedElsewhere));
    assert_eq!(titles(&common), ["Van, winter"]);
    one.does(DeskAction::On(Action::Undone));
    assert_eq!(one.title(), "Van");
    two.hears_all();
    assert_eq!(two.title(), "Van");
    assert_eq!(titles(&common), ["Van"]);
}

#[test]
fn two_tabs_that_wrote_at_once_both_keep_theirs() {
    let common = Rc::new(Common::default());
    let mut one = Tab::new(&common);
    one.titled("Van");
    let mut two = Tab::new(&common);
    two.titled("Van two");
    one.titled("Van one");
    one.hears_all();
    two.hears_all();
    one.hears_all();
    assert_eq!(titles(&common), ["Van one", "Van two"]);
    let told = [&one, &two].map(|tab| tab.desk.tidings.clone());
    assert!(told.contains(&Some(Tidings::Parted)), "{told:?}");
}

#[test]
fn a_price_list_is_added_to_another_tabs_and_one_that_cannot_be_read_is_set_aside() {
    let common = Rc::new(Common::default());
    let list = |name: &str| {
        let head = "name,kind,percent,glycol,size,unit,price\n";
        DeskAction::PricesImported([head, name, ",water,,,5,L,3\n"].concat())
    };
    let mut one = Tab::new(&common);
    let mut two = Tab::new(&common);
    one.does(list("Tin"));
    two.view.seen = common.texts.clone();
    two.does(list("Can"));
    let kept = text(&common, PRICES).unwrap();
    assert!(kept.contains("Tin") && kept.contains("Can"), "{kept}");
    one.hears_all();
    assert_eq!(one.desk.prices.len(), 2);

    let odd = "pack;price\n;;;";
    put(&common, PRICES, odd);
    let mut three = Tab::new(&common);
    three.titled("Mine");
    assert_eq!(text(&common, PRICES).as_deref(), Some(odd));
    three.does(list("Jug"));
    let kept = common.texts.borrow().clone();
    assert!(kept.values().any(|text| text == odd), "{kept:?}");
    assert!(kept[PRICES].contains("Jug"));
}

#[derive(Debug, Clone)]
enum Turn {
    Types(usize),
    Hears(usize),
    StartsEmpty(usize),
    Opens(usize, usize),
    Reloads(usize),
    Looks(usize),
}

fn turn() -> impl Strategy<Value = Turn> {
    prop_oneof![
        4 => (0..3usize).prop_map(Turn::Types),
        4 => (0..3usize).prop_map(Turn::Hears),
        1 => (0..3usize).prop_map(Turn::StartsEmpty),
        1 => (0..3usize, 0..5usize).prop_map(|(t, k)| Turn::Opens(t, k)),
        1 => (0..3usize).prop_map(Turn::Reloads),
        1 => (0..3usize).prop_map(Turn::Looks),
    ]
}

proptest! {
    /// Whatever three tabs type, open and hear, in whatever order: each letter is in some record on the device once
    /// all have heard everything.
    #[test]
    fn no_letter_is_lost_among_tabs(turns in prop::collection::vec(turn(), 1..60)) {
        let common = Rc::new(Common::default());
        let mut tabs: Vec<Tab> = (0..3).map(|_| Tab::new(&common)).collect();
        let mut typed = 0;
        for turn in turns {
            match turn {
                Turn::Types(t) => {
                    typed += 1;
                    let text = [tabs[t].title(), "<", &typed.to_string(), ">"].concat();
                    tabs[t].titled(&text);
                }
                Turn::Hears(t) => { tabs[t].hears(); }
                Turn::StartsEmpty(t) => {
                    let id = tabs[t].view.new_id();
                    tabs[t].does(DeskAction::Empty(id));
                }
                Turn::Opens(t, k) => {
                    let kept = &tabs[t].desk.kept;
                    if let Some(id) = kept.get(k % kept.len().max(1)).map(|k| k.id.clone()) {
                        tabs[t].does(DeskAction::Opened(id));
                    }
                }
                // A page that was told everything, as a browser does before the next one starts.
                Turn::Reloads(t) => {
                    tabs[t].hears_all();
                    let desk = keeping::desk(&tabs[t].view, Some(&tabs[t].desk.open));
                    tabs[t].keeping = Keeping::new(&desk, &tabs[t].view);
                    tabs[t].desk = desk;
                }
                Turn::Looks(t) => tabs[t].looks(),
            }
        }
        while tabs.iter_mut().any(Tab::hears) {}
        let all = titles(&common).concat();
        for n in 1..=typed {
            prop_assert!(all.contains(&["<", &n.to_string(), ">"].concat()), "{} of {:?}", n, titles(&common));
        }
    }
}
