"""`watch`: serves the site on your own machine and rebuilds it whenever a file is saved.

* stage      the files and problems that are shown now, in memory
* server     serves them to browsers on this machine only
* changes    finds saved files
* follow     passes saves to the builder, and its answers to the stage
* builder    the process that builds, so that the server never waits
* whole      builds the whole site, in that process
* quick      builds the pages of bikes that were just saved, before the whole site
* running    runs all of these until the command is ended

The folder `site/` stays as the last `build` wrote it; the watched site is only in memory. Cached charts are shared with
`build`.
"""
