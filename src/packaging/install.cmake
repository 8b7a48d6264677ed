# What `cmake --install` puts where, and the Debian packages that `cpack -G DEB` makes of it:
# stripwright (the program), stripwright-page (the server of its pages) and stripwright-dev (its
# libraries).
include(CMakePackageConfigHelpers)

set(share ${CMAKE_INSTALL_DATADIR})
install(TARGETS stripwright COMPONENT program)
install(TARGETS stripwright-page COMPONENT pages)
install(DIRECTORY profiles/ DESTINATION ${share}/stripwright/profiles COMPONENT program)
install(DIRECTORY ${CMAKE_BINARY_DIR}/manuals/man1 DESTINATION ${CMAKE_INSTALL_MANDIR} COMPONENT program)
install(FILES ${CMAKE_BINARY_DIR}/manuals/bash/stripwright
  DESTINATION ${share}/bash-completion/completions COMPONENT program)
install(FILES ${CMAKE_BINARY_DIR}/manuals/zsh/_stripwright
  DESTINATION ${share}/zsh/vendor-completions COMPONENT program)
install(FILES ${CMAKE_BINARY_DIR}/manuals/fish/stripwright.fish
  DESTINATION ${share}/fish/vendor_completions.d COMPONENT program)
install(FILES README.md DESTINATION ${CMAKE_INSTALL_DOCDIR} COMPONENT program)
install(FILES LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR} RENAME copyright COMPONENT program)
install(DIRECTORY docs DESTINATION ${CMAKE_INSTALL_DOCDIR} COMPONENT program)

# The libraries, but not the commands: those are the program.
set(libraries options yaml units diagnostics files taper shop section report inspection selection
  culm machine bending sheet)
if(TARGET stripwright_fmt)
  list(APPEND libraries fmt)
endif()
foreach(library ${libraries})
  set_target_properties(stripwright_${library} PROPERTIES EXPORT_NAME ${library})
  install(TARGETS stripwright_${library} EXPORT stripwrightTargets COMPONENT development
    INCLUDES DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}/stripwright)
endforeach()
install(DIRECTORY src/ DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}/stripwright COMPONENT development
  FILES_MATCHING PATTERN "*.h"
  PATTERN cli EXCLUDE PATTERN page EXCLUDE PATTERN manuals EXCLUDE PATTERN keytables EXCLUDE
  PATTERN packaging EXCLUDE PATTERN fmt_archive EXCLUDE)
set(package ${CMAKE_INSTALL_LIBDIR}/cmake/stripwright)
install(EXPORT stripwrightTargets NAMESPACE stripwright:: DESTINATION ${package} COMPONENT development)
configure_package_config_file(src/packaging/stripwrightConfig.cmake.in
  ${CMAKE_BINARY_DIR}/stripwrightConfig.cmake INSTALL_DESTINATION ${package})
write_basic_package_version_file(${CMAKE_BINARY_DIR}/stripwrightConfigVersion.cmake
  COMPATIBILITY SameMinorVersion)
install(FILES ${CMAKE_BINARY_DIR}/stripwrightConfig.cmake ${CMAKE_BINARY_DIR}/stripwrightConfigVersion.cmake
  DESTINATION ${package} COMPONENT development)

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME stripwright)
set(CPACK_PACKAGE_CONTACT "the stripwright maintainers <stripwright@localhost>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "machine settings for split-cane rods from their tapers")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_COMPONENTS_ALL program pages development)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME stripwright)
# Without the pages the program needs nothing but libc.
set(CPACK_DEBIAN_PROGRAM_PACKAGE_RECOMMENDS "stripwright-page (= ${PROJECT_VERSION})")
set(CPACK_DEBIAN_PAGES_PACKAGE_NAME stripwright-page)
set(CPACK_DEBIAN_PAGES_PACKAGE_DEPENDS "stripwright (= ${PROJECT_VERSION})")
set(CPACK_DEBIAN_PAGES_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME stripwright-dev)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS
  "libboost-dev, libeigen3-dev, libfmt-dev, libyaml-cpp-dev, nlohmann-json3-dev, libmd-dev")
set(CPACK_STRIP_FILES ON)
include(CPack)
