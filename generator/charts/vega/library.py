"""The chart library for the browser: Vega, Vega-Lite and Vega-Embed as one classic script, from vl-convert.

The script is wrapped in a function that gives the page no names but `vegaEmbed` and `vega`.
"""

from functools import cache

NOTICE = """/*! Vega, Vega-Lite and Vega-Embed, bundled by vl-convert.
Copyright (c) 2015-2023, University of Washington Interactive Data Lab. All rights reserved.

Redistribution and use in source and binary forms, with or without modification, are permitted provided that the
following conditions are met:
1. Redistributions of source code must retain the above copyright notice, this list of conditions and the following
   disclaimer.
2. Redistributions in binary form must reproduce the above copyright notice, this list of conditions and the following
   disclaimer in the documentation and/or other materials provided with the distribution.
3. Neither the name of the copyright holder nor the names of its contributors may be used to endorse or promote products
   derived from this software without specific prior written permission.

THIS SOFTWARE IS PROVIDED BY THE COPYRIGHT HOLDERS AND CONTRIBUTORS "AS IS" AND ANY EXPRESS OR IMPLIED WARRANTIES,
INCLUDING, BUT NOT LIMITED TO, THE IMPLIED WARRANTIES OF MERCHANTABILITY AND FITNESS FOR A PARTICULAR PURPOSE ARE
DISCLAIMED. IN NO EVENT SHALL THE COPYRIGHT HOLDER OR CONTRIBUTORS BE LIABLE FOR ANY DIRECT, INDIRECT, INCIDENTAL,
SPECIAL, EXEMPLARY, OR CONSEQUENTIAL DAMAGES (INCLUDING, BUT NOT LIMITED TO, PROCUREMENT OF SUBSTITUTE GOODS OR SERVICES;
LOSS OF USE, DATA, OR PROFITS; OR BUSINESS INTERRUPTION) HOWEVER CAUSED AND ON ANY THEORY OF LIABILITY, WHETHER IN
CONTRACT, STRICT LIABILITY, OR TORT (INCLUDING NEGLIGENCE OR OTHERWISE) ARISING IN ANY WAY OUT OF THE USE OF THIS
SOFTWARE, EVEN IF ADVISED OF THE POSSIBILITY OF SUCH DAMAGE. */
"""
"""BSD 3-clause licence of all three. Its text is from memory, its years from Vega's own notice."""


@cache
def bundle_library() -> str:
    """The script. Takes a second or more to make, so cache it, as `generator/publish/cache/chart_cache.py` does."""
    import vl_convert

    bundle = vl_convert.javascript_bundle("window.vegaEmbed = vegaEmbed; window.vega = vega;")
    return f"{NOTICE}(function () {{\n{bundle}\n}})();\n"
