package bellpush.drivers;

import bellpush.drivers.spi.Driver;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import java.util.ServiceConfigurationError;
import java.util.ServiceLoader;
import java.util.Set;
import java.util.SortedMap;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.regex.Pattern;

/** All drivers there are, by name. Immutable, for any thread. */
public final class Drivers {
    private static final Pattern NAME = Pattern.compile("[a-z][a-z0-9-]{0,39}");

    private final SortedMap<String, Driver> byName;

    private Drivers(SortedMap<String, Driver> byName) {
        this.byName = Collections.unmodifiableSortedMap(byName);
    }

    /** The drivers on the class path. Throws as {@link #load}. */
    public static Drivers installed() {
        return load(Drivers.class.getClassLoader());
    }

    /**
     * The drivers that a class loader sees: for jars from elsewhere, one with the jars and this one's loader as its parent.
     *
     * @throws IllegalStateException if a jar's driver cannot be loaded, its name is no name, or two have the same name; the
     *                               message is for people
     */
    public static Drivers load(ClassLoader loader) {
        var byName = new TreeMap<String, Driver>();
        try {
            for (Driver driver : ServiceLoader.load(Driver.class, loader)) {
                add(byName, driver);
            }
        } catch (ServiceConfigurationError | LinkageError e) {
            throw new IllegalStateException("A driver cannot be loaded: " + e.getMessage()
                    + ". Take its jar away, or get one that fits this version.", e);
        }
        return new Drivers(byName);
    }

    /** Exactly these. Throws as {@link #load}. */
    public static Drivers of(List<Driver> drivers) {
        var byName = new TreeMap<String, Driver>();
        drivers.forEach(driver -> add(byName, driver));
        return new Drivers(byName);
    }

    private static void add(SortedMap<String, Driver> byName, Driver driver) {
        String name = driver.name();
        if (name == null || !NAME.matcher(name).matches()) {
            throw new IllegalStateException("The driver " + driver.getClass().getName() + " calls itself \"" + name
                    + "\". A driver's name is lower-case letters, digits and hyphens, and begins with a letter.");
        }
        Driver other = byName.putIfAbsent(name, driver);
        if (other != null && other.getClass() != driver.getClass()) {
            throw new IllegalStateException("Two drivers are called \"" + name + "\": " + place(other) + " and "
                    + place(driver) + ". A kind that names it could mean either; take one of them away.");
        }
    }

    /** The class and, where the system tells, the jar it came in. */
    private static String place(Driver driver) {
        var code = driver.getClass().getProtectionDomain().getCodeSource();
        return driver.getClass().getName()
                + (code == null || code.getLocation() == null ? "" : " in " + code.getLocation().getPath());
    }

    public Set<String> names() {
        return Collections.unmodifiableSet(new TreeSet<>(byName.keySet()));
    }

    public Optional<Driver> named(String name) {
        return Optional.ofNullable(byName.get(name));
    }
}
