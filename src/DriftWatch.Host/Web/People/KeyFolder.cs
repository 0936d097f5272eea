using System.Xml.Linq;
using Microsoft.AspNetCore.DataProtection.Repositories;

namespace DriftWatch.Host.Web.People;

/// <summary>Keys under which cookies and form tokens are sealed, as files that only the service's user may read.</summary>
internal sealed class KeyFolder : IXmlRepository
{
    private const UnixFileMode OwnerOnly = UnixFileMode.UserRead | UnixFileMode.UserWrite;

    private readonly string _folder;

    public KeyFolder(string folder)
    {
        _folder = folder;
        if (OperatingSystem.IsWindows())
        {
            // The data folder's own rights hold there.
            _ = Directory.CreateDirectory(folder);
            return;
        }

        _ = Directory.CreateDirectory(folder, OwnerOnly | UnixFileMode.UserExecute);
        File.SetUnixFileMode(folder, OwnerOnly | UnixFileMode.UserExecute);
    }

    public IReadOnlyCollection<XElement> GetAllElements() => [.. Directory.EnumerateFiles(_folder, "*.xml").Select(XElement.Load)];

    public void StoreElement(XElement element, string friendlyName)
    {
        string name = string.Concat(friendlyName.Where(letter => char.IsAsciiLetterOrDigit(letter) || letter == '-'));
        string path = Path.Combine(_folder, (name.Length > 0 ? name : Guid.NewGuid().ToString("n")) + ".xml");
        FileStreamOptions options = new() { Mode = FileMode.Create, Access = FileAccess.Write };
        if (!OperatingSystem.IsWindows())
        {
            options.UnixCreateMode = OwnerOnly;
        }

        // Written beside and moved: a key cut in half by a loss of power would keep the pages from starting.
        using (FileStream stream = new(path + ".new", options))
        {
            element.Save(stream);
            stream.Flush(flushToDisk: true);
        }

        File.Move(path + ".new", path, overwrite: true);
    }
}
