"""How the site of documents is built; read by Sphinx."""

project = "Tankside"
copyright = "the Tankside maintainers"
extensions = ["myst_parser"]
source_suffix = {".md": "markdown"}
exclude_patterns: list[str] = []
myst_heading_anchors = 4
myst_enable_extensions = ["colon_fence"]
# A file that is no page (a schema, the notebook) is offered as it is.
suppress_warnings = ["myst.header"]

html_theme = "alabaster"
html_title = "Tankside"
html_static_path = ["static"]
html_css_files = ["site.css"]
html_show_sourcelink = False
html_copy_source = False
html_theme_options = {
    "description": "Fish health, case by case",
    "fixed_sidebar": True,
    "show_powered_by": False,
    "page_width": "72rem",
    "sidebar_width": "16rem",
    "font_family": "system-ui, sans-serif",
    "head_font_family": "system-ui, sans-serif",
    "code_font_family": "ui-monospace, monospace",
}
html_sidebars = {"**": ["about.html", "searchbox.html", "navigation.html"]}
