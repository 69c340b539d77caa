"""Texts and data come by pull request: none brings a script, a cost or a secret onto the page.

The strings follow the OWASP Cross-Site Scripting Filter Evasion Cheat Sheet (from memory) and the
advice of Jinja's documentation on its sandbox.
"""

import re
import time
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from selectolax.lexbor import LexborHTMLParser

from generator.pages.prose.render import render_text
from tests.pages.prose.prose_example import FENNO, TABLE, Table, content, text

ATTACKS = [
    "[x](javascript:alert(1))",
    "[x](JaVaScRiPt:alert(1))",
    "[x](java&#10;script:alert(1))",
    "[x](java&Tab;script:alert(1))",
    "[x](&#106;&#97;&#118;&#97;script:alert(1))",
    "[x]( javascript:alert(1))",
    "[x](<javascript:alert(1)>)",
    "[x](\x01javascript:alert(1))",
    "[x](vbscript:msgbox(1))",
    "[x](data:text/html;base64,PHN2Zz4=)",
    "[x](//evil.example/x)",
    "[x](\\\\evil.example/x)",
    "[x](/\\evil.example/x)",
    "[x][r]\n\n[r]: javascript:alert(1)",
    "<javascript:alert(1)>",
    '![a](x"onerror="alert(1))',
    '![a](x.png "a" onerror="alert(1)")',
    "![a](javascript:alert(1))",
    "![a](https://evil.example/pixel.png)",
    '<a href="jav&#x09;ascript:alert(1)">x</a>',
    '<a href=" &#14; javascript:alert(1)">x</a>',
    "<img src=x onerror=alert(1)>",
    '<img src="x:x" onerror="alert(1)">',
    "<script>alert(1)</script>",
    "<scr<script>ipt>alert(1)</scr</script>ipt>",
    "</p></div><script src=//evil.example></script>",
    '"><script>alert(1)</script>',
    "<svg onload=alert(1)><animate onbegin=alert(1)></svg>",
    "<svg><script>alert(1)</script></svg>",
    "<math><mtext><table><mglyph><style><img src=x onerror=alert(1)></style></mglyph></table>",
    "<iframe src=javascript:alert(1)></iframe>",
    '<iframe srcdoc="<script>alert(1)</script>">',
    '<object data="data:text/html,x"></object><embed src=x>',
    '<form action="https://evil.example"><input name=x autofocus onfocus=alert(1)></form>',
    '<body onload=alert(1)><base href="https://evil.example/">',
    '<meta http-equiv="refresh" content="0;url=https://evil.example">',
    "<style>@import 'https://evil.example/x.css';</style>",
    '<p style="background:url(javascript:alert(1))" onclick="alert(1)">x</p>',
    '<a id="site" name="settings" class="fig" href="#x">x</a>',
    '<details open ontoggle="alert(1)"><summary>x</summary></details>',
    '<p id="s-x" class="u-metric term">x</p>',
    "<!--><img src=x onerror=alert(1)>-->",
    "<![CDATA[<script>alert(1)</script>]]>",
    '<noscript><p title="</noscript><img src=x onerror=alert(1)>">',
    "<template><script>alert(1)</script></template>",
    "`<script>alert(1)</script>`",
    "[^1]\n\n[^1]: <script>alert(1)</script>",
    '*[HTML]: "><script>alert(1)</script>\n\nHTML',
    '[x](https://a.example "\\" onmouseover=\\"alert(1)")',
    "<img alt=\"{{ figure('pellimor-fenno', 'range.rolling') }} onerror=alert(1) x=\" src=x.png>",
    '<a title="{{ bike(\'pellimor-fenno\') }}" href="#s-x">x</a>',
]

ALLOWED = frozenset({
    "a", "abbr", "b", "blockquote", "body", "br", "caption", "code", "data", "dd", "del",
    "details", "div", "dl", "dt", "em", "h2", "h3", "h4", "h5", "h6", "head", "hr", "html",
    "img", "li", "ol", "p", "pre", "span", "strong", "sub", "summary", "sup", "table",
    "tbody", "td", "th", "thead", "tr", "ul",
})  # fmt: skip
"""Elements allowed on the page; the parser adds html, head and body."""


def scheme(address: str) -> str:
    """Scheme that a browser sees; `//` when it only sees a host (URL standard, section 4.4)."""
    address = re.sub(r"[\t\n\r]", "", address.strip("".join(map(chr, range(33)))))
    found = re.match(r"[A-Za-z][A-Za-z0-9+.-]*(?=:)", address)
    return found[0].lower() if found else "//" if re.match(r"[/\\]{2}", address) else ""


def harm(html: str) -> list[str]:
    """What could do harm, as a browser's parser reads it (HTML standard, section 13.2)."""
    found = []
    for node in LexborHTMLParser(html).root.traverse():
        if node.tag not in ALLOWED:
            found.append(f"<{node.tag}>")
        for name, value in node.attributes.items():
            value = value or ""
            if name.startswith("on") or name in {"style", "srcdoc", "action", "name", "srcset"}:
                found.append(name)
            safe = {"href": ("", "http", "https", "mailto"), "src": ("",)}
            if scheme(value) not in safe.get(name, (scheme(value),)):
                found.append(f"{name}={value}")
            if name == "id" and not re.match(r"(s|t|fn|fnref\d*)-", value):
                found.append(f"id={value}")
    return found


@pytest.mark.parametrize("body", ATTACKS)
def test_no_attack_reaches_the_page(body: str) -> None:
    html, _ = render_text(text(body + "\n"), TABLE, content(), depth=2)

    assert harm(html) == []


@pytest.mark.parametrize("body", ATTACKS[:13])
def test_the_writer_hears_of_a_link_that_is_taken_out(body: str) -> None:
    _, problems = render_text(text("First.\n\n" + body), TABLE, content(), depth=2)

    assert [problem.line for problem in problems] == [7]
    assert "taken out" in problems[0].what


def test_the_audit_sees_harm() -> None:
    """The check used above finds known harm."""
    for body in ATTACKS[21:30]:
        assert harm(body)


@pytest.mark.parametrize(
    "name",
    ['"><script>alert(1)</script>', "</script><script>", "{{7*7}}", "[x](javascript:alert(1))",
     "**bold**", "{% include 'x' %}", "\ue0000\ue001", "&lt;script&gt;"],
)  # fmt: skip
def test_names_from_spec_files_are_printed_as_they_are(name: str) -> None:
    """Data is neither run as a template, nor read as Markdown or HTML."""
    table = Table((replace(FENNO, name=name, maker="M"),), TABLE.figures)
    body = 'The {{ bike("pellimor-fenno") }}, `{{ bike("pellimor-fenno") }}`.\n'
    html, problems = render_text(text(body), table, content(), depth=2)
    shown = name.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")

    assert problems == []
    assert harm(html) == []
    assert f"M {shown}</a>".replace('"', "&#34;") in html.replace("&#39;", "'")
    assert "49" not in html


@pytest.mark.parametrize(
    "body",
    [
        "{{ ''.__class__ }}",
        "{{ ''['__class__'] }}",
        "{{ ''.__class__.__mro__[1].__subclasses__() }}",
        "{{ figure.__globals__ }}",
        "{{ figure.func.__self__._table }}",
        '{{ ""|attr("__class__") }}',
        "{{ self._TemplateReference__context }}",
        "{{ cycler.__init__.__globals__.os }}",
        "{{ lipsum.__globals__ }}",
        "{{ range.__self__ }}",
        '{{ "{0.__class__}".format(1) }}',
        '{{ "%s"|format(1) }}',
        "{% set x = namespace() %}",
        "{% for x in [].__class__ %}{% endfor %}",
        "{% for loop in [1] %}{{ loop.__class__ }}{% endfor %}",
        "{% for x in [1] %}{{ loop._iterator }}{% endfor %}",
        "{% for x in [1] %}{{ loop.cycle('a') }}{% endfor %}",
        "{% for figure in [1] %}{% endfor %}",
        "{{ counted_([1], line_=1) }}",
        '{{ bike("pellimor-fenno", line_=1) }}',
        '{{ bike(*["pellimor-fenno"]) }}',
        '{% include "/etc/passwd" %}',
        '{% import "x" as x %}',
        '{% extends "x" %}',
        "{% block x %}{% endblock %}",
        "{% macro m() %}{{ m() }}{% endmacro %}{{ m() }}",
        "{% call figure() %}{% endcall %}",
        "{% filter upper %}x{% endfilter %}",
        "{% autoescape false %}x{% endautoescape %}",
        "{% do x %}",
        "{{ 7*7 }}",
        "{{ 9**9**9**9 }}",
        "{{ 'a' * 1000000000 }}",
        "{{ 'a' ~ 'b' }}",
        "{{ -1 }}",
        "{{ undefined }}",
        "{{ true is defined }}",
        "{{ " + "9" * 5000 + " }}",
        "{{ " + "(" * 5000,
        "{{ " + "[" * 500 + "]" * 500 + " }}",
        "{% if true %}" * 200 + "{% endif %}" * 200,
    ],
)
def test_the_language_holds_nothing_else(body: str) -> None:
    html, problems = render_text(text(body), TABLE, content(), depth=2)

    assert html == ""
    assert problems


@pytest.mark.parametrize(
    "body",
    [
        "{% for x in range(1000000000) %}{% endfor %}",
        "{% for x in range(9999) %}{% for y in range(9999) %}{% endfor %}{% endfor %}",
        "{% for x in range(9000) %}{% endfor %}" * 2,
        "{% for x in range(9999) %}" + "x" * 100 + "{% endfor %}",
        "{% for x in [1] recursive %}{{ loop([1]) }}{% endfor %}",
        "{% for x in range(1, 5, 0) %}{% endfor %}",
        '{% for x in range("9") %}{% endfor %}',
        "{% for a, b in [1] %}{% endfor %}",
        "{% for x in 5 %}{% endfor %}",
        "> " * 5000 + "x",
        "- " * 5000 + "x",
        "[" * 20_000,
        "![" * 20_000,
        "[a](" * 20_000,
        "*" * 20_000,
        "`" * 200_000,
        '"' * 50_000,
        "<a " * 20_000,
        "<div>" * 20_000,
        "[^1]" * 20_000,
        ("[a](" * 900 + "\n\n") * 20,
    ],
)
def test_no_text_takes_long(body: str) -> None:
    began = time.monotonic()
    _, problems = render_text(text(body), TABLE, content(), depth=2)

    assert problems
    assert time.monotonic() - began < 5


def test_deep_lists_are_a_problem_not_a_crash() -> None:
    body = "\n".join("    " * depth + "- x" for depth in range(250))
    html, problems = render_text(text(body), TABLE, content(), depth=2)

    assert problems or html.count("<li>") == 250


def test_links_to_other_sites_pass_nothing_on() -> None:
    html, problems = render_text(
        text("[a](https://a.example/) [b](mailto:a@a.example) [c](../c/)\n"),
        TABLE,
        content(),
        depth=2,
    )

    assert problems == []
    assert '<a href="https://a.example/" rel="nofollow noopener">' in html
    assert '<a href="../c/">c</a>' in html


def test_the_body_has_no_first_heading() -> None:
    """The page's title is the only `h1`."""
    html, _ = render_text(text("# Title\n\n## Part\n"), TABLE, content(), depth=2)

    assert html == '<h2 id="s-title">Title</h2>\n<h2 id="s-part">Part</h2>'


PIECES = st.sampled_from(
    ["<", ">", '"', "'", "&", "#", "/", "\\", "`", "*", "_", "[", "]", "(", ")", "!", ":", "|", "=",
     "\n", "\n\n", "    ", " ", "-", "x", "javascript:", "<a href=", "<img src=", "onerror=",
     "<script>", "</script>", "<!--", "-->", "<svg", "&#x6a;", "[^1]", "[^1]: ", "{{", "}}", "{%",
     "%}", "{#", "#}", " for x in ", " endfor ", "{{ bike('pellimor-fenno') }}", "cadence",
     ' bike("pellimor-fenno") ', ' figure("pellimor-fenno", "range.rolling") ', "title=", "<p ",
     ' table(["pellimor-fenno"], ["spec.mass"]) ', "\ue0000\ue001", "<td>", "</td>", "<code>"]
)  # fmt: skip


@settings(max_examples=150, derandomize=True)
@given(st.lists(PIECES, max_size=40).map("".join))
def test_whatever_is_written_is_harmless(body: str) -> None:
    """Any mixture gives harmless HTML or problems in this file, never a traceback."""
    html, problems = render_text(text(body), TABLE, content(), depth=2)

    assert harm(html) == []
    assert {problem.file for problem in problems} <= {"content/guides/a-guide.md"}
    assert all(5 <= problem.line <= 5 + body.count("\n") for problem in problems)
