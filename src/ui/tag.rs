//! Elements, put together by hand: `html!` unrolls every element where it stands, which came to three times the
//! bytes. The diff is as quick: attributes go by a shared list of keys, as the macro's do.

use std::{cell::RefCell, rc::Rc};

use pourcard::app::words::isolated;
use yew::{
    AttrValue, Html,
    virtual_dom::{AttributeOrProperty, Attributes, Listener, VNode, VTag},
};

/// An element in the making.
pub struct Tag(Box<Parts>);

struct Parts {
    name: &'static str,
    keys: Vec<&'static str>,
    values: Vec<Option<AttributeOrProperty>>,
    children: Vec<VNode>,
    hands: Vec<Option<Rc<dyn Listener>>>,
    value: Option<AttrValue>,
    checked: Option<bool>,
    key: Option<AttrValue>,
}

/// An element of a class; none where it is empty.
pub fn tag(name: &'static str, class: &'static str) -> Tag {
    let parts = Parts {
        name,
        keys: Vec::new(),
        values: Vec::new(),
        children: Vec::new(),
        hands: Vec::new(),
        value: None,
        checked: None,
        key: None,
    };
    let tag = Tag(Box::new(parts));
    if class.is_empty() {
        tag
    } else {
        tag.set("class", class)
    }
}

/// An element with nothing but text in it.
pub fn text(name: &'static str, class: &'static str, text: &str) -> Html {
    tag(name, class).text(text).html()
}

/// Nothing.
pub fn nothing() -> Html {
    Html::default()
}

/// Several, side by side.
pub fn several(list: Vec<Html>) -> Html {
    list.into_iter().collect()
}

impl Tag {
    /// An attribute.
    #[inline(never)]
    pub fn set(self, key: &'static str, value: &str) -> Self {
        self.put(
            key,
            AttributeOrProperty::Attribute(AttrValue::from(value.to_owned())),
        )
    }

    /// An attribute that is there or not.
    #[inline(never)]
    pub fn flag(self, key: &'static str, on: bool) -> Self {
        if on { self.set(key, "") } else { self }
    }

    /// A property, set anew whenever it changes.
    #[inline(never)]
    pub fn property(self, key: &'static str, value: &str) -> Self {
        self.put(key, AttributeOrProperty::Property(value.into()))
    }

    fn put(mut self, key: &'static str, value: AttributeOrProperty) -> Self {
        self.0.keys.push(key);
        self.0.values.push(Some(value));
        self
    }

    /// Text inside; where it could turn round what stands beside it, isolated.
    #[inline(never)]
    pub fn text(mut self, text: &str) -> Self {
        self.0.children.push(VNode::from(isolated(text)));
        self
    }

    /// Something inside.
    #[inline(never)]
    pub fn with(mut self, child: Html) -> Self {
        self.0.children.push(child);
        self
    }

    /// Several inside, in one list of their own.
    #[inline(never)]
    pub fn each(self, list: Vec<Html>) -> Self {
        let list = several(list);
        self.with(list)
    }

    /// What answers to an event.
    #[inline(never)]
    pub fn hand(mut self, hand: Rc<dyn Listener>) -> Self {
        self.0.hands.push(Some(hand));
        self
    }

    /// What an input holds.
    #[inline(never)]
    pub fn value(mut self, value: &str) -> Self {
        self.0.value = Some(AttrValue::from(value.to_owned()));
        self
    }

    /// Whether a box is ticked.
    #[inline(never)]
    pub fn checked(mut self, checked: bool) -> Self {
        self.0.checked = Some(checked);
        self
    }

    /// What it goes by among its like.
    #[inline(never)]
    pub fn key(mut self, key: &str) -> Self {
        self.0.key = Some(AttrValue::from(key.to_owned()));
        self
    }

    /// The element.
    #[inline(never)]
    pub fn html(self) -> Html {
        let parts = *self.0;
        let mut element = VTag::new(parts.name);
        element.set_attributes(Attributes::Dynamic {
            keys: shared(parts.keys),
            values: parts.values.into(),
        });
        if !parts.hands.is_empty() {
            element.set_listeners(parts.hands.into());
        }
        if let Some(value) = parts.value {
            element.set_value(value);
        }
        if let Some(checked) = parts.checked {
            element.set_checked(checked);
        }
        element.key = parts.key.map(|key| key.to_string().into());
        element.add_children(parts.children);
        VNode::from(element)
    }
}

thread_local! {
    static SHAPES: RefCell<Vec<&'static [&'static str]>> = const { RefCell::new(Vec::new()) };
}

/// One list for all elements with these keys. The page has some fifty shapes; each is made once and stays.
fn shared(keys: Vec<&'static str>) -> &'static [&'static str] {
    SHAPES.with_borrow_mut(
        |shapes| match shapes.iter().find(|shape| ***shape == *keys) {
            Some(shape) => shape,
            None => {
                let shape: &'static [&'static str] = Vec::leak(keys);
                shapes.push(shape);
                shape
            }
        },
    )
}
